/** Changes of one text that are worked out while other changes come: none is lost, and none that fails stops the others. */

/** Runs works one after the other, in the order they are given. */
export function inTurn(): <Result>(work: () => Promise<Result>) => Promise<Result> {
  let last: Promise<unknown> = Promise.resolve()
  return (work) => {
    const worked = last.then(work)
    last = worked.catch(() => undefined)
    return worked
  }
}

/** What `how` makes of the value that is there when it is done: worked out again where the value changed meanwhile. */
export async function onNewest<Value, Result>(value: () => Value, how: (value: Value) => Result | Promise<Result>): Promise<Result> {
  for (;;) {
    const before = value()
    const made = await how(before)
    if (value() === before) return made
  }
}
