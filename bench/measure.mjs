// Times and digits of ours, and how times at equal digits are read off them.
import {
  createGeneratedKernel,
  createGeneratedRadauKernel,
  createIntegratorFor,
  createRadauKernel,
  createRosenbrockKernel,
  methods,
} from '@beakertide/basis/numerics'
import { correctDigits } from './problem.mjs'

const WARM_UP_SOLVES = 3
/** A solve this long is its own warming up, milliseconds. */
const LONG_MS = 300

/** Our integrators for a problem, by name: `tables rodas4`, `generated radau`, …; those for which no code is generated are left out. */
export function integratorsFor(problem, engines = ['tables', 'generated']) {
  const all = {}
  for (const method of [...Object.keys(methods), 'radau']) {
    const tables = () => (method === 'radau' ? createRadauKernel(problem.system) : createRosenbrockKernel(problem.system, methods[method]))
    const generated = () =>
      method === 'radau' ? createGeneratedRadauKernel(problem.system) : createGeneratedKernel(problem.system, methods[method])
    for (const [engine, make] of Object.entries({ tables, generated })) {
      if (!engines.includes(engine)) continue
      const kernel = make()
      if (kernel !== null) all[`${engine} ${method}`] = createIntegratorFor(kernel)
    }
  }
  return all
}

/**
 * Best time in milliseconds of repeated solves with reused buffers: wall clock, or processor time of the whole process where that is less, because another
 * program had the processor meanwhile. Native solvers are timed by their processor time too.
 */
export function measure(problem, integrator, relative, budgetS) {
  const request = {
    fromS: 0,
    toS: problem.tEnd,
    y0: problem.y0,
    tolerances: { relative, absolute: problem.absolute(relative), nonNegative: problem.nonNegative },
    keep: 'end',
    invariants: problem.invariants,
  }
  let best = Infinity
  let run = null
  const solve = () => {
    const cpu = process.cpuUsage()
    const start = performance.now()
    run = integrator.run(request)
    const wall = performance.now() - start
    const used = process.cpuUsage(cpu)
    // Processor time is counted in microseconds, and in larger ticks on some systems: too coarse for a short solve.
    const processor = (used.user + used.system) / 1000
    return wall > 20 && processor < wall ? processor : wall
  }
  for (let i = 0; i < WARM_UP_SOLVES; i++) if (solve() > LONG_MS) break
  const until = performance.now() + budgetS * 1000
  do best = Math.min(best, solve())
  while (performance.now() < until)
  const { steps, rejected } = run.statistics
  return {
    relative,
    ms: best,
    digits: run.ending.how === 'reached-end' ? correctDigits(problem, run.end) : Number.NaN,
    steps,
    rejected,
  }
}

/** Least time for so many digits: of a measured point that has them, or between two tolerances on logarithmic scales; null when never reached. */
export function timeFor(points, digits) {
  let best = null
  for (const p of points) {
    if (p.digits >= digits) best = Math.min(best ?? Infinity, p.ms)
    for (const q of points) {
      if (!(p.digits < digits && digits <= q.digits)) continue
      best = Math.min(best ?? Infinity, p.ms * (q.ms / p.ms) ** ((digits - p.digits) / (q.digits - p.digits)))
    }
  }
  return best
}

/** The fastest of several lists of points, with its name. */
export function fastest(lists, digits) {
  let found = null
  for (const [name, points] of Object.entries(lists)) {
    const ms = timeFor(points, digits)
    if (ms !== null && (found === null || ms < found.ms)) found = { name, ms }
  }
  return found
}

export const ms = (value) => (value === null || value === undefined ? '-' : value < 10 ? value.toPrecision(3) : value.toFixed(1))
export const ratio = (ours, theirs) => (ours && theirs ? (ours.ms / theirs.ms).toFixed(ours.ms < 0.1 * theirs.ms ? 3 : 2) : '-')

const columns = ['problem', 'kind', 'who', 'relative', 'ms', 'digits', 'steps', 'rejected', 'operations']

/** Rows as comma-separated text under a line of names: four figures of a time and two places of digits, since more would be noise; empty where not known. */
export function rowsAsText(rows) {
  const cell = (row, name) => {
    const value = row[name] ?? ''
    if (name === 'ms') return Number(value.toPrecision(4))
    return name === 'digits' ? (Number.isFinite(value) ? Number(value.toFixed(2)) : '') : value
  }
  return `${[columns.join(), ...rows.map((row) => columns.map((name) => cell(row, name)).join())].join('\n')}\n`
}

/** And back; what was not known is left out. */
export function rowsFromText(text) {
  const [names, ...lines] = text
    .trim()
    .split('\n')
    .map((line) => line.split(','))
  return lines.map((cells) =>
    Object.fromEntries(
      cells.flatMap((cell, i) => (cell === '' ? [] : [[names[i], ['problem', 'kind', 'who'].includes(names[i]) ? cell : Number(cell)]])),
    ),
  )
}
