/**
 * Asks for the newest wish only: while one answer is awaited, later wishes replace each other, and the last one is asked next.
 * Answers come in order and none is shown after a newer one.
 */
export interface LatestWins<Wish> {
  /** Asks for this, at once or when the present answer is there. */
  ask(wish: Wish): void
  /** Forgets what was asked and what waits. */
  drop(): void
  /** Something is under way. */
  readonly isBusy: boolean
}

/**
 * @param run makes the answer
 * @param show gets every answer that is still wanted, with its wish. While a newer wish waits the answer is still shown, so that a
 *   picture follows a drag instead of standing still until it ends.
 */
export function createLatestWins<Wish, Result>(
  run: (wish: Wish) => Promise<Result>,
  show: (result: Result, wish: Wish) => void,
  failed: (error: unknown, wish: Wish) => void,
): LatestWins<Wish> {
  let waiting: { readonly wish: Wish } | null = null
  let isBusy = false
  let round = 0
  const start = (wish: Wish): void => {
    isBusy = true
    const mine = round
    const settle = (tell: () => void): void => {
      if (mine !== round) return
      isBusy = false
      const next = waiting
      waiting = null
      if (next) start(next.wish)
      tell()
    }
    run(wish).then(
      (result) => settle(() => show(result, wish)),
      (error: unknown) => settle(() => failed(error, wish)),
    )
  }
  return {
    ask(wish) {
      if (isBusy) waiting = { wish }
      else start(wish)
    },
    drop() {
      round++
      waiting = null
      isBusy = false
    },
    get isBusy() {
      return isBusy
    },
  }
}
