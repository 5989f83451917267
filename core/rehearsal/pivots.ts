/**
 * Where a path turns back. The path is a run of points known only by their pairwise distances (here ΔE₀₀);
 * pivots are the points that remain when everything that goes back less than a given distance is ironed out.
 */

export interface PathRules {
  /** A point is a pivot only when the path goes back there by this much. */
  readonly goesBack: number
  /** Of a pivot on a bend (not a plain turning back), whether it lasts long enough to be seen; asked rarely. */
  readonly isSeen: (point: number) => boolean
}

/** Going back by this share of the shorter way there or on is plain turning back; less is a bend. */
const PLAIN_SHARE = 0.75

/** Does the way `there` and `on`, going back by `back`, simply turn round? */
export function isPlainTurn(back: number, there: number, on: number): boolean {
  return back >= PLAIN_SHARE * Math.min(there, on)
}

interface Score {
  /** (d(a,k) + d(k,b) − d(a,b)) / 2: how far the way a → k → b goes back at k. */
  readonly back: number
  readonly isPivot: boolean
}

/**
 * The pivots among `points` (ascending numbers), first and last always among them.
 * Points are taken out one by one, least going-back first, so a small wiggle on a long way vanishes whole and the long
 * way remains, however finely it is sampled; a pivot is never taken out. O(n log n) distances.
 */
export function findPivots(points: readonly number[], distance: (a: number, b: number) => number, rules: PathRules): readonly number[] {
  const last = points.length - 1
  if (last < 2) return points
  const before = Int32Array.from(points, (_, i) => i - 1)
  const after = Int32Array.from(points, (_, i) => i + 1)
  const toNext = Float64Array.from(points, (p, i) => (i < last ? distance(p, points[i + 1]!) : 0))
  const version = new Int32Array(points.length)
  const score = (k: number): Score => {
    const [a, b] = [before[k]!, after[k]!]
    const [there, on] = [toNext[a]!, toNext[k]!]
    const back = (there + on - distance(points[a]!, points[b]!)) / 2
    const isPivot = back >= rules.goesBack && (isPlainTurn(back, there, on) || rules.isSeen(points[k]!))
    return { back, isPivot }
  }
  const heap = new LeastFirst()
  const judge = (k: number): void => {
    if (k <= 0 || k >= last) return
    version[k]!++
    const { back, isPivot } = score(k)
    if (!isPivot) heap.push(back, k, version[k]!)
  }
  for (let k = 1; k < last; k++) judge(k)
  for (let least = heap.pop(); least !== null; least = heap.pop()) {
    if (least.version !== version[least.point]) continue
    const k = least.point
    const [a, b] = [before[k]!, after[k]!]
    version[k] = -1
    after[a] = b
    before[b] = a
    toNext[a] = distance(points[a]!, points[b]!)
    judge(a)
    judge(b)
  }
  const pivots: number[] = []
  for (let k = 0; k <= last; k = after[k]!) pivots.push(points[k]!)
  return pivots
}

interface Entry {
  readonly key: number
  readonly point: number
  readonly version: number
}

/** A binary heap; the entry with the least key comes out first, the earlier point first among equals. */
class LeastFirst {
  private readonly entries: Entry[] = []

  push(key: number, point: number, version: number): void {
    const { entries } = this
    const entry: Entry = { key, point, version }
    let i = entries.length
    entries.push(entry)
    while (i > 0) {
      const parent = (i - 1) >> 1
      if (!comesFirst(entry, entries[parent]!)) break
      entries[i] = entries[parent]!
      i = parent
    }
    entries[i] = entry
  }

  pop(): Entry | null {
    const { entries } = this
    const first = entries[0]
    const moved = entries.pop()
    if (first === undefined || moved === undefined) return null
    if (entries.length === 0) return first
    let i = 0
    for (;;) {
      let child = 2 * i + 1
      if (child >= entries.length) break
      if (child + 1 < entries.length && comesFirst(entries[child + 1]!, entries[child]!)) child++
      if (!comesFirst(entries[child]!, moved)) break
      entries[i] = entries[child]!
      i = child
    }
    entries[i] = moved
    return first
  }
}

const comesFirst = (a: Entry, b: Entry): boolean => a.key < b.key || (a.key === b.key && a.point < b.point)
