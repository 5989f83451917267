/**
 * The coast: over two amounts, does it show, how many cycles, which period. A coarse grid, and squares whose corners differ
 * are cut into four again and again, so that the rehearsals gather at the border.
 */
import { done, invariant, type Outcome, refuse } from '@beakertide/basis/problems'
import type { Portion } from '../makeup/index.ts'
import { featuresFor } from './band.ts'
import { amountUnit, type AmountUnit, presentValue, type VariedAmount, withAmount } from './carpet-amount.ts'
import type { Features } from './features.ts'
import type { RehearsalFacts, RehearseRequest } from './rehearse.ts'

/** What is seen at a point: nothing, turns without a return (a clock), rounds; or it could not be rehearsed. */
export type Show = 'nothing' | 'turns' | 'cycles' | 'unknown'

export interface CoastPoint {
  readonly x: number
  readonly y: number
  readonly show: Show
  readonly features: Features | null
}
/** A square of the finest cut, by its corners' values. */
export interface CoastCell {
  readonly x: readonly [number, number]
  readonly y: readonly [number, number]
  /** At (low x, low y), (high x, low y), (low x, high y), (high x, high y). */
  readonly corners: readonly [Show, Show, Show, Show]
}
/** A piece of the border between `from` and `to`, through the middles of edges whose ends differ. */
export interface CoastPiece {
  readonly between: readonly [Show, Show]
  readonly from: readonly [number, number]
  readonly to: readonly [number, number]
}
export interface CoastLines {
  readonly points: readonly CoastPoint[]
  readonly cells: readonly CoastCell[]
  readonly border: readonly CoastPiece[]
  readonly runs: number
  /** It was stopped, or the runs it may make were used up, before the border was as fine as asked for. */
  readonly stopped: boolean
}
export interface CoastAxis {
  readonly from: number
  readonly to: number
  readonly steps: 'linear' | 'log'
}
export interface CoastGrid {
  readonly x: CoastAxis
  readonly y: CoastAxis
  /** Squares along a side of the coarse grid. */
  readonly coarse: number
  /** Times a square on the border is halved. */
  readonly halvings: number
  readonly mostRuns: number
}

const showOf = (f: Features | null): Show =>
  f === null ? 'unknown' : f.cycles > 0 ? 'cycles' : f.firstTurnS === null ? 'nothing' : 'turns'

/** Place `share` of the way along an axis. */
function along(axis: CoastAxis, share: number): number {
  if (axis.steps === 'linear') return axis.from + share * (axis.to - axis.from)
  return axis.from * (axis.to / axis.from) ** share
}

interface Square {
  readonly i: number
  readonly j: number
  readonly size: number
}

/**
 * The coast of any two numbers. Points are kept on a whole-number grid of coarse × 2^halvings steps a side, each evaluated once.
 * A border that passes within one coarse square and leaves by the side it came from is not found: `coarse` must resolve it.
 */
export function coastLines(
  grid: CoastGrid,
  evaluate: (x: number, y: number) => Features | null,
  control: {
    readonly shouldStop?: (() => boolean) | undefined
    readonly onPoint?: ((runs: number, point: CoastPoint) => void) | undefined
  } = {},
): CoastLines {
  invariant(grid.coarse >= 1 && grid.halvings >= 0, 'a coast has squares')
  const whole = 2 ** grid.halvings
  const side = grid.coarse * whole
  const points = new Map<number, CoastPoint>()
  let stopped = false
  const at = (i: number, j: number): Show => {
    const key = j * (side + 1) + i
    const known = points.get(key)
    if (known) return known.show
    if (stopped || points.size >= grid.mostRuns || control.shouldStop?.() === true) {
      stopped = true
      return 'unknown'
    }
    const x = along(grid.x, i / side)
    const y = along(grid.y, j / side)
    const features = evaluate(x, y)
    const point: CoastPoint = { x, y, show: showOf(features), features }
    points.set(key, point)
    control.onPoint?.(points.size, point)
    return point.show
  }
  const corners = (s: Square): CoastCell['corners'] => [
    at(s.i, s.j),
    at(s.i + s.size, s.j),
    at(s.i, s.j + s.size),
    at(s.i + s.size, s.j + s.size),
  ]
  let squares: Square[] = []
  for (let j = 0; j < grid.coarse; j++) for (let i = 0; i < grid.coarse; i++) squares.push({ i: i * whole, j: j * whole, size: whole })
  const settled: { readonly square: Square; readonly corners: CoastCell['corners'] }[] = []
  while (squares.length > 0) {
    const next: Square[] = []
    for (const square of squares) {
      const c = corners(square)
      const half = square.size / 2
      if (stopped || square.size === 1 || c.every((s) => s === c[0])) settled.push({ square, corners: c })
      else
        for (const [di, dj] of [
          [0, 0],
          [half, 0],
          [0, half],
          [half, half],
        ] as const)
          next.push({ i: square.i + di, j: square.j + dj, size: half })
    }
    squares = next
  }
  const cells = settled.map(({ square: s, corners: c }): CoastCell => {
    const span = (axis: CoastAxis, k: number): readonly [number, number] => [along(axis, k / side), along(axis, (k + s.size) / side)]
    return { x: span(grid.x, s.i), y: span(grid.y, s.j), corners: c }
  })
  const border = settled.flatMap(({ square, corners: c }) =>
    borderIn(square, c, (i, j) => [along(grid.x, i / side), along(grid.y, j / side)]),
  )
  return { points: [...points.values()], cells, border, runs: points.size, stopped }
}

/** Pieces of border in one square: middles of the edges that differ, joined two by two around the square. */
function borderIn(s: Square, c: CoastCell['corners'], place: (i: number, j: number) => readonly [number, number]): readonly CoastPiece[] {
  const half = s.size / 2
  const edges = [
    { ends: [c[0], c[1]], at: [s.i + half, s.j] },
    { ends: [c[1], c[3]], at: [s.i + s.size, s.j + half] },
    { ends: [c[3], c[2]], at: [s.i + half, s.j + s.size] },
    { ends: [c[2], c[0]], at: [s.i, s.j + half] },
  ] as const
  const cut = edges.filter((e) => e.ends[0] !== e.ends[1] && e.ends[0] !== 'unknown' && e.ends[1] !== 'unknown')
  const pieces: CoastPiece[] = []
  for (let k = 0; k + 1 < cut.length; k += 2) {
    const [a, b] = [cut[k]!, cut[k + 1]!]
    pieces.push({ between: [a.ends[0], a.ends[1]], from: place(a.at[0], a.at[1]), to: place(b.at[0], b.at[1]) })
  }
  return pieces
}

export interface CoastRequest extends RehearseRequest {
  readonly portions: readonly Portion[]
  readonly amounts: { readonly x: VariedAmount; readonly y: VariedAmount }
  readonly grid: CoastGrid
  /** `point`: the one just rehearsed, so that a picture can fill in. */
  readonly onPoint?: (runs: number, point: CoastPoint) => void
}
export interface CoastName {
  readonly varied: string
  readonly unit: AmountUnit
  readonly steps: CoastAxis['steps']
  /** The value that leaves the recipe as it is. */
  readonly present: number
  readonly from: number
  readonly to: number
}
export interface Coast extends CoastLines {
  readonly vessel: string
  readonly mechanism: string
  readonly x: CoastName
  readonly y: CoastName
}

const partsOf = (amount: VariedAmount): readonly string[] =>
  amount.of === 'ingredient' ? amount.portions : [`${amount.of} ${amount.name}`]

/** The coast of two amounts of one request. Problem: the two amounts have something in common. */
export function coastOf(request: CoastRequest, facts: RehearsalFacts): Outcome<Coast> {
  const { amounts, portions, grid } = request
  const common = partsOf(amounts.x).filter((part) => partsOf(amounts.y).includes(part))
  if (common.length > 0) {
    return refuse({
      code: 'rehearsal/same-amount-twice',
      where: `vessel ${request.vessel.id}`,
      what: `a coast is drawn over two different amounts; "${amounts.x.name}" and "${amounts.y.name}" have ${common.join(', ')} in common`,
      todo: 'name another amount for one of the axes',
    })
  }
  const lines = coastLines(
    grid,
    (x, y) => {
      const first = withAmount(request, portions, amounts.x, x, facts.matter)
      return featuresFor(withAmount(first, portions, amounts.y, y, facts.matter), facts)
    },
    { shouldStop: request.shouldStop, onPoint: request.onPoint },
  )
  const name = (amount: VariedAmount, axis: CoastAxis): CoastName => ({
    varied: amount.name,
    unit: amountUnit(amount),
    present: presentValue(amount, request),
    ...axis,
  })
  return done({
    ...lines,
    vessel: request.vessel.id,
    mechanism: request.mechanism.name,
    x: name(amounts.x, grid.x),
    y: name(amounts.y, grid.y),
  })
}
