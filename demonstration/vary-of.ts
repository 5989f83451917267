/** One vessel of a prepared day with one amount varied (carpet) or two (coast). Values may be written as the document writes them. */
import { done, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { celsiusToKelvin, formatQuantity, kelvinToCelsius, parseQuantity, type QuantityKind } from '@beakertide/basis/units'
import {
  type Carpet,
  type CarpetRequest,
  carpetRow,
  carpetOf,
  type CarpetRow,
  carpetValues,
  type Coast,
  type CoastAxis,
  type CoastRequest,
  type Forbidden,
  coastOf,
  type CoastPoint,
  emptyRow,
  isRehearsable,
  findAmount,
  presentValue,
  type RehearseRequest,
  type VariedAmount,
} from '@beakertide/core/rehearsal'
import { constraintOf, permittedRecipe } from './changed-recipe.ts'
import { bandRehearsal, type DayFacts, type Prepared, requestOfMany } from './day.ts'

/** A range of one amount. Without ends: half to double, or ten degrees around the room's temperature. */
export interface VaryRange {
  /** Bottle, "solution/bottle", "pour SOLUTION", "temperature", "depth" or a constant such as "P1.k0". */
  readonly what: string
  /** A plain number in the amount's own unit (a factor, °C, cm), or a quantity: "20 mmol/L" in the mix, "15 degC", "5 cm". */
  readonly from?: string | undefined
  readonly to?: string | undefined
  /** Default: log for factors and depth, linear for temperatures. */
  readonly steps?: 'linear' | 'log' | undefined
}

interface Control {
  readonly shouldStop?: () => boolean
}
export interface VaryWish extends Control {
  readonly vessel: string
  readonly range: VaryRange
  readonly rows: number
  /** `row`: the one just made, with what forbids it. */
  readonly onRow?: (done: number, of: number, row: CarpetRow) => void
}
export interface CoastWish extends Control {
  readonly vessel: string
  readonly x: VaryRange
  readonly y: VaryRange
  readonly coarse: number
  readonly halvings: number
  readonly mostRuns: number
  readonly onPoint?: (runs: number, point: CoastPoint) => void
}

/** Room temperature is varied within liquid water, K (memory: 0 and 100 °C). */
const COLDEST_K = 273.15
const HOTTEST_K = 373.15
const HALF = 0.5
const AROUND_K = 10
/** A factor beyond this is a slip of the finger. */
const MOST_FACTOR = 1e6

/** Amount concentration of an ingredient in the vessel's mix, mol/L, all its portions together. */
export function concentrationInMix(prepared: Prepared, vesselId: string, portions: readonly string[]): number {
  const vessel = prepared.demonstration.vessels.find((v) => v.id === vesselId)
  const mixL = prepared.poured.find((p) => p.id === vesselId)?.inventory.volumeL ?? 0
  const pouredL = (solution: string): number =>
    (vessel?.pours ?? []).filter((p) => p.solution === solution).reduce((sum, p) => sum + p.volumeL, 0)
  const mol = prepared.makeUp.strengths
    .filter((s) => portions.includes(`${s.solution}/${s.bottle}`))
    .reduce((sum, s) => sum + s.trueMolPerL * pouredL(s.solution), 0)
  return mixL > 0 ? mol / mixL : 0
}

const kindFor: Readonly<Record<VariedAmount['of'], QuantityKind | null>> = {
  ingredient: 'amount-concentration',
  temperature: 'temperature',
  depth: 'length',
  poured: null,
  constant: null,
}

/** A written value in the unit of the amount's values. */
export function readAmountValue(amount: VariedAmount, text: string, prepared: Prepared, vesselId: string): Outcome<number> {
  const plain = Number(text)
  let value = text.trim() !== '' && Number.isFinite(plain) ? plain : Number.NaN
  if (Number.isNaN(value)) {
    const kind = kindFor[amount.of]
    if (kind === null) return wrong(amount, `"${text}" is not a number`, 'write a factor, as in 0.5')
    const read = parseQuantity(text, [kind])
    if (!read.ok) return read
    if (amount.of === 'ingredient') value = read.value.value / concentrationInMix(prepared, vesselId, amount.portions)
    else value = amount.of === 'temperature' ? kelvinToCelsius(read.value.value) : read.value.value
  }
  const k = celsiusToKelvin(value)
  if (amount.of === 'temperature' && !(k > COLDEST_K && k < HOTTEST_K)) {
    return wrong(amount, `${formatQuantity(k, 'temperature')} is outside 0 to 100 °C, where water is liquid`, 'name a temperature within')
  }
  if (amount.of !== 'temperature' && !(value >= 0 && value <= MOST_FACTOR)) {
    return wrong(amount, `"${text}" comes to ${value}; from 0 to ${MOST_FACTOR} is taken`, 'write a factor, as in 0.5')
  }
  return done(value)
}

const wrong = (amount: VariedAmount, what: string, todo: string): Outcome<never> =>
  refuse({ code: 'demonstration/varied-value', where: `varied amount "${amount.name}"`, what, todo })

function usualEnds(amount: VariedAmount, present: number): readonly [number, number] {
  return amount.of === 'temperature'
    ? [Math.max(1, present - AROUND_K), Math.min(99, present + AROUND_K)]
    : [HALF * present, present / HALF]
}

/** The amount and its axis. */
export function readRange(
  range: VaryRange,
  request: RehearseRequest,
  prepared: Prepared,
): Outcome<{ readonly amount: VariedAmount; readonly axis: CoastAxis }> {
  const found = findAmount(range.what, request, prepared.makeUp.portions)
  if (!found.ok) return found
  const amount = found.value
  const usual = usualEnds(amount, presentValue(amount, request))
  const problems: Problem[] = []
  const ends = [range.from, range.to].map((text, i) => {
    if (text === undefined) return usual[i]!
    const read = readAmountValue(amount, text, prepared, request.vessel.id)
    if (!read.ok) problems.push(...read.problems)
    return read.ok ? read.value : Number.NaN
  })
  if (problems.length > 0) return { ok: false, problems }
  const [from, to] = ends as [number, number]
  if (from === to) return wrong(amount, `the range begins and ends at ${from}`, 'give two different ends')
  const lowest = Math.min(from, to)
  if ((amount.of === 'depth' || amount.of === 'poured') && lowest === 0) return wrong(amount, 'it cannot be 0', 'begin above 0')
  const steps = range.steps ?? (amount.of === 'temperature' || lowest <= 0 ? 'linear' : 'log')
  if (steps === 'log' && lowest <= 0) return wrong(amount, 'steps of equal ratio cannot begin at 0', 'begin above 0, or take linear steps')
  return done({ amount, axis: { from, to, steps } })
}

/** A row with what forbids it among its problems: a danger for what would be refused, else what cannot be made. */
function withConstraint(row: CarpetRow, amount: VariedAmount, prepared: Prepared, facts: DayFacts): CarpetRow {
  const why = constraintOf(permittedRecipe(prepared, [{ amount, value: row.value }], facts), prepared)
  if (why === null) return row
  const problem: Problem = {
    code: `demonstration/row-${why.set}`,
    where: `${amount.name} ${row.text}`,
    what: why.why,
    todo: isRehearsable(why) ? 'take this row as a picture only, not as a recipe' : 'choose a value nearer to the recipe',
    ...(why.set === 'refused' ? { danger: true as const } : {}),
  }
  const problems = [...row.problems, problem]
  // No colours and no times that somebody could take for an answer where it is refused, or where nobody could even ask for its dangers.
  return isRehearsable(why) ? { ...row, problems } : { ...row, ...emptyRow, problems }
}

/** The request of a carpet and its values. Problems: nothing of that name, or values that make no sense. */
export function carpetRequest(prepared: Prepared, wish: Pick<VaryWish, 'vessel' | 'range' | 'rows'>): Outcome<CarpetRequest> {
  const request = requestOfMany(prepared, wish.vessel, bandRehearsal)
  const read = readRange(wish.range, request, prepared)
  if (!read.ok) return read
  const { amount, axis } = read.value
  return done({
    ...request,
    portions: prepared.makeUp.portions,
    amount,
    values: carpetValues(axis.from, axis.to, wish.rows, axis.steps),
  })
}

/** One row, checked like a document of its own. */
export function checkedRow(prepared: Prepared, request: CarpetRequest, value: number, facts: DayFacts): Outcome<CarpetRow> {
  const row = carpetRow(request, value, facts)
  return row.ok ? done(withConstraint(row.value, request.amount, prepared, facts), row.warnings) : row
}

/**
 * The carpet of one vessel; each row is checked like a document of its own. Problems: nothing of that name, or values that make no sense.
 */
export function varyVessel(prepared: Prepared, wish: VaryWish, facts: DayFacts): Outcome<Carpet> {
  const request = carpetRequest(prepared, wish)
  if (!request.ok) return request
  const { amount } = request.value
  const rows: CarpetRow[] = []
  const carpet = carpetOf(
    {
      ...request.value,
      onRow: (n, of, made) => {
        const row = withConstraint(made, amount, prepared, facts)
        rows.push(row)
        wish.onRow?.(n, of, row)
      },
      ...(wish.shouldStop ? { shouldStop: wish.shouldStop } : {}),
    },
    facts,
  )
  return carpet.ok ? done({ ...carpet.value, rows }, carpet.warnings) : carpet
}

/** The request of a coast. Problems: nothing of those names, or values that make no sense. */
export function coastRequest(
  prepared: Prepared,
  wish: Pick<CoastWish, 'vessel' | 'x' | 'y' | 'coarse' | 'halvings' | 'mostRuns'>,
): Outcome<CoastRequest> {
  const request = requestOfMany(prepared, wish.vessel, bandRehearsal)
  const x = readRange(wish.x, request, prepared)
  const y = readRange(wish.y, request, prepared)
  if (!x.ok || !y.ok) return { ok: false, problems: [...(x.ok ? [] : x.problems), ...(y.ok ? [] : y.problems)] }
  return done({
    ...request,
    portions: prepared.makeUp.portions,
    amounts: { x: x.value.amount, y: y.value.amount },
    grid: { x: x.value.axis, y: y.value.axis, coarse: wish.coarse, halvings: wish.halvings, mostRuns: wish.mostRuns },
  })
}

/** What forbids the recipe of a point of a coast: make-up, solubility and cautions are asked as for a document of its own. */
export function forbiddenAt(
  prepared: Prepared,
  { amounts }: Pick<CoastRequest, 'amounts'>,
  [x, y]: readonly [number, number],
  facts: DayFacts,
): Forbidden | null {
  const changes = [
    { amount: amounts.x, value: x },
    { amount: amounts.y, value: y },
  ]
  return constraintOf(permittedRecipe(prepared, changes, facts), prepared)
}

/** The coast of one vessel over two amounts; every point is checked like a document of its own, and what is refused is not rehearsed. */
export function coastOfVessel(prepared: Prepared, wish: CoastWish, facts: DayFacts): Outcome<Coast> {
  const request = coastRequest(prepared, wish)
  if (!request.ok) return request
  return coastOf(
    {
      ...request.value,
      ...(wish.onPoint ? { onPoint: wish.onPoint } : {}),
      ...(wish.shouldStop ? { shouldStop: wish.shouldStop } : {}),
    },
    facts,
    (x, y) => forbiddenAt(prepared, request.value, [x, y], facts),
  )
}
