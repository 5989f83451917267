/**
 * Runs of catalogue mechanisms against an independent program of other hands that ran the same constants (checks/outside/independent_runs.json).
 * Agreement says that transcription, compiler and integrator are right; it says nothing about nature.
 */
import { found, ledger } from './ledger.ts'
import { type Batch, firstPassing, maximaOf, periodsOf, runBatch } from './network-run.ts'
import { outsideJson } from './outside.ts'

const { check } = ledger('independent-runs')

/** What that program reports; which of them depends on the run. */
interface Result {
  readonly duration_s: number
  readonly end?: Readonly<Record<string, number>>
  readonly maxima?: number
  readonly iodide_maxima?: number
  readonly first?: readonly number[]
  readonly first_maximum_s?: number | null
  readonly first_periods_s?: readonly number[]
  readonly last_maximum_s?: number | null
  readonly clock_time_s?: number
  readonly half_life_s?: number
  readonly iodine_max_M?: number
  readonly time_of_max_s?: number
  readonly t_90_percent_s?: number
  readonly t_50_percent_s?: number
  readonly t_10_percent_s?: number
  readonly t_90_percent_left_s?: number
  readonly t_50_percent_left_s?: number
  readonly t_10_percent_left_s?: number
}
interface OutsideRun {
  readonly mechanism: string
  readonly name: string
  readonly temperatureC: number
  readonly molPerL: Readonly<Record<string, number>>
  readonly held: readonly string[]
  readonly result: Result
}
// The file is ours and its shape is the one above; a wrong one shows in the first run.
// oxlint-disable-next-line no-unsafe-type-assertion
const outside = outsideJson('independent_runs') as { readonly source: string; readonly runs: readonly OutsideRun[] }

/** The species whose maxima are counted. */
const follows = (mechanism: string): string => {
  if (mechanism === 'bromate-malonate-cerium/batch' || mechanism.endsWith('/steps-1972')) return 'Br-'
  return mechanism.startsWith('bromate') ? 'HBrO2' : 'I-'
}
/** Runs whose end is not asked for: the first minutes say the same in less time. */
const SHORT: Readonly<Record<string, number>> = { 'iodate-peroxide-malonate/extended': 90 }
const DIGITS = 'three or four printed digits; their times are read from samples'
const STOP = 'one swing at the dying end counts or not, after what is called a maximum'

/** A run that creeps through an instability before it swings. */
const isSlowOnset = (run: OutsideRun): boolean =>
  run.mechanism === 'iodate-peroxide-malonate/skeleton-a-1982' && run.name === 'lower iodate and malonic acid'

const kept = new Map<OutsideRun, readonly number[]>()
const batchOf = (run: OutsideRun): Batch => ({
  mechanism: run.mechanism,
  molPerL: run.molPerL,
  held: run.held,
  temperatureK: run.temperatureC + 273.15,
  toS: SHORT[run.mechanism] ?? run.result.duration_s,
  relative: isSlowOnset(run) ? 1e-9 : 1e-7,
  absolute: isSlowOnset(run) ? 1e-20 : 1e-14,
})
function maxima(run: OutsideRun): readonly number[] {
  const before = kept.get(run)
  if (before) return before
  const now = maximaOf(batchOf(run), follows(run.mechanism))
  kept.set(run, now)
  return now
}

for (const run of outside.runs) {
  const { result } = run
  const add = (what: string, unit: string, theirs: number, within: number, because: string, ours: () => number, doubted?: string): void => {
    check(`${run.mechanism}, ${run.name}: ${what}`, {
      source: outside.source,
      seen: 'computed',
      ours,
      theirs,
      unit,
      within,
      because,
      ...(doubted === undefined ? {} : { doubted }),
    })
  }
  const isWhole = SHORT[run.mechanism] === undefined
  const count = result.maxima ?? result.iodide_maxima
  const first = result.first?.[0] ?? result.first_maximum_s
  if (isSlowOnset(run)) {
    add(
      'first maximum',
      's',
      1900,
      40,
      DIGITS,
      () => found(maxima(run)[0], 'maximum'),
      'a slow passage through an instability, whose moment the solver’s noise decides: ours gives 1514 to 1588 s with two methods at 1e-9 and 1e-11; SciPy 1.10 Radau at 1e-12 gives 1564, its BDF at 1e-8 gives 1927 and at 1e-10 1508',
    )
    continue
  }
  // Small swings after the first ones: which of them is a maximum differs.
  const isPlain = !(run.mechanism.startsWith('chlorine') && run.name.includes('more'))
  if (count !== undefined && isWhole && isPlain) add('maxima', '1', count, count > 5 ? 1 : 0.5, STOP, () => maxima(run).length)
  if (typeof first === 'number') {
    add('first maximum', 's', first, Math.max(0.05, 0.01 * first), `${DIGITS}; the first maximum is flat where it comes late`, () =>
      found(maxima(run)[0], 'maximum'),
    )
  }
  for (const [i, period] of (result.first_periods_s ?? []).entries()) {
    add(`period ${i + 1}`, 's', period, Math.max(0.12, 0.015 * period), DIGITS, () => found(periodsOf(maxima(run))[i], 'period'))
  }
  if (typeof result.last_maximum_s === 'number' && isWhole && isPlain) {
    const theirs = result.last_maximum_s
    add('a maximum at their last one', 's', theirs, Math.max(0.5, 0.003 * theirs), DIGITS, () =>
      maxima(run).reduce((best, t) => (Math.abs(t - theirs) < Math.abs(best - theirs) ? t : best), Number.POSITIVE_INFINITY),
    )
  }
  if (typeof result.clock_time_s === 'number') {
    const constants = run.mechanism.startsWith('persulfate') ? { 'P1.I': 0.3 } : {}
    const species = run.mechanism === 'iodate-bisulfite/elementary' ? ['I2'] : ['I2', 'I3-']
    const sampled = run.mechanism === 'iodate-bisulfite/elementary' && run.held.includes('H+')
    add(
      'iodine over 1e-5 mol/L',
      's',
      result.clock_time_s,
      0.01 * result.clock_time_s,
      DIGITS,
      () => firstPassing({ ...batchOf(run), constants }, species, 1e-5),
      sampled
        ? 'iodine grows slowly here and theirs was read from samples far apart: SciPy 1.10 Radau and BDF (1e-8 to 1e-11) both pass 1e-5 mol/L at 1863.8 s and have 1.39e-5 at 2182 s; the end states of all three agree'
        : undefined,
    )
  }
  if (typeof result.half_life_s === 'number') {
    add('half of the peroxide', 's', result.half_life_s, 0.01 * result.half_life_s, DIGITS, () =>
      firstPassing(batchOf(run), ['H2O2'], found(run.molPerL['H2O2'], 'peroxide') / 2, 'falling'),
    )
  }
  if (typeof result.time_of_max_s === 'number' && typeof result.iodine_max_M === 'number') {
    const [theirTime, theirMost] = [result.time_of_max_s, result.iodine_max_M]
    const time = (): number => found(maximaOf(batchOf(run), 'I2', 1.05).at(-1), 'maximum of iodine')
    add('most iodine at', 's', theirTime, 0.005 * theirTime, DIGITS, time)
    add('most iodine', 'mol/L', theirMost, 0.02 * theirMost, DIGITS, () => runBatch(batchOf(run)).at(time(), 'I2'))
  }
  const fading = run.mechanism.startsWith('glucose') ? 'MB+' : 'MnO4-'
  for (const [share, time] of [
    [0.9, result.t_90_percent_s ?? result.t_90_percent_left_s],
    [0.5, result.t_50_percent_s ?? result.t_50_percent_left_s],
    [0.1, result.t_10_percent_s ?? result.t_10_percent_left_s],
  ] as const) {
    if (time === undefined) continue
    add(
      `${100 * share} % of the colour left`,
      's',
      time,
      Math.max(0.01 * time, result.duration_s / 2000),
      `${DIGITS}, about 2000 a run`,
      () => firstPassing(batchOf(run), [fading], share * found(run.molPerL[fading], fading), 'falling'),
    )
  }
}

// End states of runs that neither oscillate nor turn: every species that is there.
for (const run of outside.runs) {
  const count = run.result.maxima ?? run.result.iodide_maxima
  if (count !== 0 || !run.result.end) continue
  let state: ReturnType<typeof runBatch> | undefined
  for (const [species, theirs] of Object.entries(run.result.end)) {
    // Below this a species is the small rest of large flows, printed to one or two digits.
    if (theirs < 1e-6) continue
    check(`${run.mechanism}, ${run.name}: ${species} at ${run.result.duration_s} s`, {
      source: outside.source,
      seen: 'computed',
      ours: () => (state ??= runBatch(batchOf(run))).end(species),
      theirs,
      unit: 'mol/L',
      within: 0.01,
      relative: true,
      because: 'three printed digits',
    })
  }
}
