/** The memory of a generated module: rows of doubles, each where pairs of them can be read at once. */
const PAIR = 16

/** Lays rows of doubles one behind the other, each from a multiple of 16 on; address 0 stays free, so that no row is mistaken for nothing. */
export function planMemory(): { readonly take: (doubles: number) => number; readonly bytes: () => number } {
  let next = PAIR
  return {
    take(doubles) {
      const at = next
      next += PAIR * Math.ceil(doubles / 2)
      return at
    },
    bytes: () => next,
  }
}
