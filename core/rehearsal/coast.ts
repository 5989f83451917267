/**
 * The coast: over two amounts, does it show, how many cycles, which period. A coarse grid with probes within its squares; squares that
 * hold different points are cut into four again and again, so that the rehearsals gather at the border.
 */
import { evenPoints } from '@beakertide/basis/numerics'
import { done, invariant, type Outcome, refuse } from '@beakertide/basis/problems'
import type { Portion } from '../makeup/index.ts'
import { featuresFor } from './band.ts'
import { amountUnit, type AmountUnit, presentValue, type VariedAmount, withAmount } from './carpet-amount.ts'
import type { Features } from './features.ts'
import { carryOut, type Plan } from './plan.ts'
import type { RehearsalFacts, RehearseRequest } from './rehearse.ts'

/** What is seen at a point: nothing, turns without a return (a clock), rounds; refused for danger, not rehearsed; or it could not be rehearsed. */
export type Show = 'nothing' | 'turns' | 'cycles' | 'refused' | 'unknown'

/** What forbids a recipe: what it mixes is refused for danger; or it cannot be made up as it stands. */
export interface Forbidden {
  /** `refused`: for danger. `unmakeable`: there is no way to make it (more than the bottle's strength, say). Neither is rehearsed. */
  readonly set: 'solubility' | 'small-weighing' | 'refused' | 'unmakeable'
  readonly why: string
}
/** True where there is a recipe to rehearse, practical or not. */
export const isRehearsable = (forbidden: Forbidden | null): boolean => forbidden?.set !== 'refused' && forbidden?.set !== 'unmakeable'

/** What is found at a point. One that is not rehearsable has no features. */
export interface CoastAnswer {
  readonly features: Features | null
  readonly forbidden: Forbidden | null
}

export interface CoastPoint {
  readonly x: number
  readonly y: number
  readonly show: Show
  readonly features: Features | null
  /** What forbids the recipe of this point; null: nothing. */
  readonly forbidden: Forbidden | null
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

const showOf = ({ features: f, forbidden }: CoastAnswer): Show => {
  if (forbidden?.set === 'refused') return 'refused'
  if (f === null) return 'unknown'
  if (f.cycles > 0) return 'cycles'
  return f.firstTurnS === null ? 'nothing' : 'turns'
}

/** What an answer makes of a point. */
export function coastPoint([x, y]: readonly [number, number], answer: CoastAnswer): CoastPoint {
  return { x, y, show: showOf(answer), features: answer.features, forbidden: answer.forbidden }
}

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
/** A point of the lattice. */
type Place = readonly [i: number, j: number]

/** Seed of the probes: the same coast probes the same places. */
const PROBE_SEED = 1

/**
 * Places at which it is looked besides the corners of the coarse squares: the middles of squares and of their sides, and half as many
 * more as there are squares, evenly filled over the whole. A region that holds a disc of three eighths of a square's side is found wherever it
 * lies; of a thinner one a part, the wider the likelier; all of it only with a finer `coarse`.
 */
function probesOf(grid: CoastGrid, whole: number): readonly Place[] {
  if (whole < 2) return []
  const half = whole / 2
  const side = grid.coarse * whole
  const halves = 2 * grid.coarse + 1
  const between = Array.from({ length: halves * halves }, (_, k): Place => [(k % halves) * half, Math.floor(k / halves) * half]).filter(
    ([i, j]) => i % whole !== 0 || j % whole !== 0,
  )
  const points = evenPoints(PROBE_SEED, ['x', 'y'])
  const even = Array.from(
    { length: Math.ceil((grid.coarse * grid.coarse) / 2) },
    (_, k): Place => [Math.floor(points.at(k, 'x') * (side + 1)), Math.floor(points.at(k, 'y') * (side + 1))],
  )
  return [...between, ...even]
}

const cornersOf = ({ i, j, size }: Square): readonly [Place, Place, Place, Place] => [
  [i, j],
  [i + size, j],
  [i, j + size],
  [i + size, j + size],
]

function quarters({ i, j, size }: Square): readonly Square[] {
  const half = size / 2
  return [
    { i, j, size: half },
    { i: i + half, j, size: half },
    { i, j: j + half, size: half },
    { i: i + half, j: j + half, size: half },
  ]
}

/**
 * The coast of any two numbers, asking for many points at a time. Points are kept on a whole-number lattice of coarse × 2^halvings
 * steps a side, each evaluated once.
 */
export function* coastPlan(grid: CoastGrid): Plan<readonly [number, number], CoastAnswer, CoastLines> {
  invariant(grid.coarse >= 1 && grid.halvings >= 0, 'a coast has squares')
  const whole = 2 ** grid.halvings
  const side = grid.coarse * whole
  const points = new Map<number, CoastPoint & { readonly place: Place }>()
  let stopped = false
  const keyOf = ([i, j]: Place): number => j * (side + 1) + i
  const showAt = (place: Place): Show => points.get(keyOf(place))?.show ?? 'unknown'

  function* lookAt(places: readonly Place[]): Plan<readonly [number, number], CoastAnswer, void> {
    const unseen = new Map(places.filter((p) => !points.has(keyOf(p))).map((p) => [keyOf(p), p] as const))
    if (unseen.size === 0 || stopped) return
    const asked = [...unseen.values()].slice(0, Math.max(0, grid.mostRuns - points.size))
    const answers = yield asked.map(([i, j]) => [along(grid.x, i / side), along(grid.y, j / side)] as const)
    answers.forEach((answer, k) => {
      const place = asked[k]!
      const [x, y] = [along(grid.x, place[0] / side), along(grid.y, place[1] / side)]
      points.set(keyOf(place), { ...coastPoint([x, y], answer), place })
    })
    if (answers.length < unseen.size) stopped = true
  }
  /** Are all points that are known in a square of one kind? Those on its edge count too: a border that leaves there goes on inside. */
  const isUniform = (s: Square): boolean => {
    const first = showAt([s.i, s.j])
    if (cornersOf(s).some((c) => showAt(c) !== first)) return false
    for (const { place, show } of points.values()) {
      const within = place[0] >= s.i && place[0] <= s.i + s.size && place[1] >= s.j && place[1] <= s.j + s.size
      if (within && show !== first) return false
    }
    return true
  }

  let squares: readonly Square[] = Array.from({ length: grid.coarse * grid.coarse }, (_, k) => ({
    i: (k % grid.coarse) * whole,
    j: Math.floor(k / grid.coarse) * whole,
    size: whole,
  }))
  yield* lookAt(squares.flatMap(cornersOf))
  yield* lookAt(probesOf(grid, whole))
  for (;;) {
    const mixed = new Set(stopped ? [] : squares.filter((s) => s.size > 1 && !isUniform(s)))
    if (mixed.size === 0) break
    squares = squares.flatMap((s) => (mixed.has(s) ? quarters(s) : [s]))
    yield* lookAt(squares.flatMap(cornersOf))
  }
  const span = (axis: CoastAxis, k: number, size: number): readonly [number, number] => [
    along(axis, k / side),
    along(axis, (k + size) / side),
  ]
  const settled = squares.map((square) => ({ square, corners: cornersOf(square).map(showAt) as unknown as CoastCell['corners'] }))
  const cells = settled.map(
    ({ square: s, corners }): CoastCell => ({ x: span(grid.x, s.i, s.size), y: span(grid.y, s.j, s.size), corners }),
  )
  const border = settled.flatMap(({ square, corners: c }) =>
    borderIn(square, c, (i, j) => [along(grid.x, i / side), along(grid.y, j / side)]),
  )
  return {
    points: [...points.values()].map((p): CoastPoint => ({ x: p.x, y: p.y, show: p.show, features: p.features, forbidden: p.forbidden })),
    cells,
    border,
    runs: points.size,
    stopped,
  }
}

/** The coast of any two numbers, evaluated here one by one. */
export function coastLines(
  grid: CoastGrid,
  evaluate: (x: number, y: number) => Features | CoastAnswer | null,
  control: { readonly shouldStop?: (() => boolean) | undefined; readonly onPoint?: ((runs: number) => void) | undefined } = {},
): CoastLines {
  let runs = 0
  return carryOut(coastPlan(grid), ([x, y]) => {
    if (control.shouldStop?.() === true) return undefined
    const found = evaluate(x, y)
    // Cut short in its middle, it is no point.
    if (found === null && control.shouldStop?.() === true) return undefined
    control.onPoint?.(++runs)
    return found !== null && 'forbidden' in found ? found : { features: found, forbidden: null }
  })
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

/** Problem: the two amounts have something in common. */
function sameAmount({ amounts, vessel }: CoastRequest): Outcome<never> | null {
  const common = partsOf(amounts.x).filter((part) => partsOf(amounts.y).includes(part))
  if (common.length === 0) return null
  return refuse({
    code: 'rehearsal/same-amount-twice',
    where: `vessel ${vessel.id}`,
    what: `a coast is drawn over two different amounts; "${amounts.x.name}" and "${amounts.y.name}" have ${common.join(', ')} in common`,
    todo: 'name another amount for one of the axes',
  })
}

/** Features at one point of a coast; null when it cannot be run or its integration stops before the end. */
export function coastFeatures(request: CoastRequest, [x, y]: readonly [number, number], facts: RehearsalFacts): Features | null {
  const { amounts, portions } = request
  const first = withAmount(request, portions, amounts.x, x, facts.matter)
  return featuresFor(withAmount(first, portions, amounts.y, y, facts.matter), facts)
}

/** The plan of a coast of two amounts of one request. Problem: the two amounts have something in common. */
export function planCoast(request: CoastRequest): Outcome<Plan<readonly [number, number], CoastAnswer, Coast>> {
  return sameAmount(request) ?? done(namedCoast(request))
}

function* namedCoast(request: CoastRequest): Plan<readonly [number, number], CoastAnswer, Coast> {
  const { amounts, grid } = request
  const lines = yield* coastPlan(grid)
  const name = (amount: VariedAmount, axis: CoastAxis): CoastName => ({
    varied: amount.name,
    unit: amountUnit(amount),
    present: presentValue(amount, request),
    ...axis,
  })
  return {
    ...lines,
    vessel: request.vessel.id,
    mechanism: request.mechanism.name,
    x: name(amounts.x, grid.x),
    y: name(amounts.y, grid.y),
  }
}

/** The coast of two amounts of one request, its points rehearsed here one by one. `forbids`: what forbids a recipe; refused ones are not rehearsed. */
export function coastOf(
  request: CoastRequest,
  facts: RehearsalFacts,
  forbids: (x: number, y: number) => Forbidden | null = () => null,
): Outcome<Coast> {
  const plan = planCoast(request)
  if (!plan.ok) return plan
  let runs = 0
  return done(
    carryOut(plan.value, ([x, y]) => {
      if (request.shouldStop?.() === true) return undefined
      const forbidden = forbids(x, y)
      const features = isRehearsable(forbidden) ? coastFeatures(request, [x, y], facts) : null
      if (features === null && request.shouldStop?.() === true) return undefined
      const answer: CoastAnswer = { features, forbidden }
      request.onPoint?.(++runs, coastPoint([x, y], answer))
      return answer
    }),
  )
}
