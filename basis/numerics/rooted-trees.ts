/** Rooted trees, by which the order conditions of one-step methods are counted; for tests. Source: Hairer, Nørsett & Wanner, Solving ODEs I, II.2. */

/** A rooted tree is the list of the trees that hang at its root. */
export type Tree = readonly Tree[]

/** All rooted trees of an order, each once: the subtrees of a root are a multiset of smaller trees. */
export function treesOf(order: number): Tree[] {
  const byOrder: Tree[][] = [[], [[]]]
  for (let n = 2; n <= order; n++) {
    const all: Tree[] = []
    const smaller = byOrder.flatMap((trees, size) => trees.map((tree) => ({ tree, size })))
    const choose = (left: number, from: number, chosen: Tree[]): void => {
      if (left === 0) all.push([...chosen])
      for (let i = from; i < smaller.length; i++) {
        if (smaller[i]!.size > left) continue
        choose(left - smaller[i]!.size, i, [...chosen, smaller[i]!.tree])
      }
    }
    choose(n - 1, 0, [])
    byOrder.push(all)
  }
  return byOrder[order]!
}

const sizeOf = (tree: Tree): number => 1 + tree.reduce((sum, branch) => sum + sizeOf(branch), 0)
/** γ(t) = order of t times the densities of its branches. */
export const density = (tree: Tree): number => tree.reduce((product, branch) => product * density(branch), sizeOf(tree))
