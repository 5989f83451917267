/** Our integrator against the published end values of the classical stiff problems, to the digits asked for. */
import { createIntegrator, type MethodName } from '@beakertide/basis/numerics'
import { seenFrom } from '@beakertide/basis/sources'
import { correctDigits, e5, robertson, oregonator, type StiffProblem, stiffTestSet } from '../basis/numerics/test-set.ts'
import { found, ledger } from './ledger.ts'
import { outsideRows } from './outside.ts'

const { check } = ledger('stiff-problems')

/** Tightest tolerance used here: our best method, far from rounding. */
const TIGHT = 1e-11
/** Digits that must be there at `TIGHT`. */
const DIGITS = 9
/** Late in Robertson's problem making and using y1 differ by one part in 0.04 t = 4e9: double precision leaves the difference 7 digits. */
const lateRobertson = (problem: StiffProblem, timeS: number): boolean => problem === robertson && timeS > 1e10
const within = (problem: StiffProblem, timeS: number): number => (lateRobertson(problem, timeS) ? 1e-7 : 10 ** -DIGITS)
const because = (problem: StiffProblem, timeS: number): string =>
  lateRobertson(problem, timeS)
    ? 'making and using y1 differ by one part in 4e9 there: double precision leaves their difference 7 digits, whatever the method'
    : BECAUSE
const BECAUSE = `relative tolerance ${TIGHT} a step; an oscillation multiplies local errors by some tens`

/** 1e11 as 1e11. */
const exponent = (timeS: number): string => (timeS >= 1e4 ? timeS.toExponential().replace('e+', 'e') : String(timeS))

const solutions = new Map<string, Float64Array>()
/** The state at a time, from rest; runs are kept. */
function stateAt(problem: StiffProblem, method: MethodName, relative: number, timeS: number): Float64Array {
  const key = `${problem.name} ${method} ${relative} ${timeS}`
  const before = solutions.get(key)
  if (before) return before
  const run = createIntegrator(problem.system, method).run({
    fromS: 0,
    toS: timeS,
    y0: problem.y0,
    tolerances: { relative, absolute: problem.absolute(relative), nonNegative: problem.nonNegative },
    keep: 'end',
  })
  if (run.ending.how !== 'reached-end') throw new Error(`the run ended: ${run.ending.how}`)
  solutions.set(key, run.end)
  return run.end
}

for (const problem of stiffTestSet) {
  for (const value of problem.values) {
    const counted = problem.counted ?? value.y.map((_, i) => i)
    for (const i of counted) {
      check(`${problem.name}, t = ${exponent(value.timeS)}, component ${i + 1}`, {
        source: `${problem.source}${problem === e5 ? '' : `; printed value, confirmed to ${value.agreed} digits`}`,
        seen: problem === e5 ? 'computed' : 'read',
        ours: () => found(stateAt(problem, 'rodas5p', TIGHT, value.timeS)[i], 'component'),
        theirs: found(value.y[i], 'component'),
        unit: 'as printed',
        within: within(problem, value.timeS),
        relative: true,
        because: because(problem, value.timeS),
      })
    }
  }
  for (const [method, wanted] of [
    ['rodas4', 4],
    ['rodas4', 6],
    ['rodas5p', 8],
  ] as const) {
    const last = found(problem.values.at(-1), 'value')
    check(
      `${problem.name}: digits at t = ${exponent(last.timeS)} with ${method} and relative tolerance 1e-${wanted}, at most ${wanted} counted`,
      {
        source: problem.source,
        seen: problem === e5 ? 'computed' : 'read',
        ours: () => Math.min(wanted, correctDigits(problem, last.y, stateAt(problem, method, 10 ** -wanted, last.timeS))),
        theirs: wanted,
        unit: 'digits',
        within: 1.5,
        because: 'the error of a whole run is some tens of those of a step: up to one and a half digits',
      },
    )
  }
}

for (const row of outsideRows('stiff_references')) {
  const cell = (column: string): string => row[column] ?? ''
  const problem = cell('problem') === robertson.name ? robertson : oregonator
  const i = Number(cell('component'))
  check(`${problem.name}, t = ${exponent(Number(cell('time_s')))}, component ${i + 1}`, {
    source: cell('source'),
    seen: seenFrom(cell('seen')),
    ours: () => found(stateAt(problem, 'rodas5p', TIGHT, Number(cell('time_s')))[i], 'component'),
    theirs: Number(cell('value')),
    unit: 'as printed',
    within: within(problem, Number(cell('time_s'))),
    relative: true,
    because: because(problem, Number(cell('time_s'))),
  })
}

for (const [component, printed] of [
  [2, 0.886765551764212e-22],
  [3, 0.8854814626268838e-22],
] as const) {
  check(`E5, t = 1e13, component ${component} as printed`, {
    source: 'Test Set for IVP Solvers (Mazzia & Magherini), reference routine of problem E5',
    seen: 'read',
    // y2 = y3 + y4, and y4 has gone.
    ours: () => found(stateAt(e5, 'rodas5p', TIGHT, 1e13)[1], 'component'),
    theirs: printed,
    unit: 'as printed',
    within: 1e-6,
    relative: true,
    because: 'six digits',
    doubted:
      'y2 - y3 - y4 is exactly 0 for all time, and y4 is 0 here, yet the two printed values differ in the third digit; two quadruple-precision runs give 8.86123352129108e-23 for both',
  })
}
