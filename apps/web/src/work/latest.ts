/** For what is asked faster than it can be answered (a dragged slider): one runs, one waits, and the newest takes the place of the waiting one. */

interface Waiting<Result> {
  start: () => Promise<Result>
  readonly tell: ((result: Result) => void)[]
  readonly fail: ((why: unknown) => void)[]
}

/**
 * Runs `start` when nothing runs under this name. Who was waiting and is overtaken gets the newer answer: nobody waits for one that
 * nobody wants any more.
 */
export function latestOnly<Result>(): (name: string, start: () => Promise<Result>) => Promise<Result> {
  const running = new Set<string>()
  const waiting = new Map<string, Waiting<Result>>()

  function run(name: string, start: () => Promise<Result>): Promise<Result> {
    running.add(name)
    return start().finally(() => {
      running.delete(name)
      const next = waiting.get(name)
      if (!next) return
      waiting.delete(name)
      run(name, next.start).then(
        (result) => next.tell.forEach((tell) => tell(result)),
        (why: unknown) => next.fail.forEach((fail) => fail(why)),
      )
    })
  }

  return (name, start) => {
    if (!running.has(name)) return run(name, start)
    return new Promise((tell, fail) => {
      const before = waiting.get(name)
      if (before) {
        before.start = start
        before.tell.push(tell)
        before.fail.push(fail)
      } else waiting.set(name, { start, tell: [tell], fail: [fail] })
    })
  }
}
