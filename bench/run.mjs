// Time and digits of every method on the stiff problems, side by side in one run.
//
//   npm run bench                                  the published set that is built in
//   BEAKERTIDE_PEERS=DIR npm run bench             the problem files (*.json) of DIR or DIR/problems
//   npm run bench -- --only br,brx                 some problems
//   npm run bench -- --tolerances 3,5,7            powers of ten of the relative tolerance (default 3,4,5,6,7)
//
// Times are the best of repeated solves in this process; only ratios inside one run mean anything.
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { createIntegrator, methods } from '@beakertide/basis/numerics'
import { builtInProblems, correctDigits, readProblem } from './problem.mjs'

const FOLDER_PROBLEMS = ['orego', 'br', 'brx']
const SECONDS_A_CASE = 0.4
const WARM_UP_SOLVES = 3

function option(name) {
  const at = process.argv.indexOf(`--${name}`)
  return at < 0 ? null : (process.argv[at + 1] ?? '').split(',').filter((word) => word !== '')
}

function problems(only) {
  const folder = process.env.BEAKERTIDE_PEERS
  if (folder === undefined || folder === '') {
    const all = builtInProblems()
    return only === null ? all : all.filter((p) => only.includes(p.name))
  }
  const place = existsSync(join(folder, 'problems')) ? join(folder, 'problems') : folder
  return (only ?? FOLDER_PROBLEMS).map((name) => readProblem(join(place, `${name}.json`)))
}

/** One line of the table: best time in milliseconds of repeated solves with reused buffers. */
function measure(problem, integrator, relative) {
  const request = {
    fromS: 0,
    toS: problem.tEnd,
    y0: problem.y0,
    tolerances: { relative, absolute: problem.absolute(relative), nonNegative: problem.nonNegative },
    keep: 'end',
  }
  for (let i = 0; i < WARM_UP_SOLVES; i++) integrator.run(request)
  let best = Infinity
  let run = integrator.run(request)
  const until = performance.now() + SECONDS_A_CASE * 1000
  do {
    const start = performance.now()
    run = integrator.run(request)
    best = Math.min(best, performance.now() - start)
  } while (performance.now() < until)
  return { relative, ms: best, digits: correctDigits(problem, run.end), run }
}

/** Time at which a method reaches so many digits, between the measured points (both on logarithmic scales); null outside. */
function timeAt(points, digits) {
  const byTime = [...points].sort((a, b) => a.ms - b.ms)
  for (let i = 1; i < byTime.length; i++) {
    const [p, q] = [byTime[i - 1], byTime[i]]
    if (p.digits <= digits && q.digits >= digits) {
      const share = (digits - p.digits) / (q.digits - p.digits)
      return Math.exp(Math.log(p.ms) + share * Math.log(q.ms / p.ms))
    }
  }
  return null
}

const chosen = problems(option('only'))
if (chosen.length === 0) {
  console.error(
    'no such problem; without BEAKERTIDE_PEERS there are: ' +
      builtInProblems()
        .map((p) => p.name)
        .join(', '),
  )
  process.exit(2)
}
const tolerances = (option('tolerances') ?? ['3', '4', '5', '6', '7']).map((e) => 10 ** -Number(e))
const names = Object.keys(methods)
console.log('problem        n  method    rtol        ms  digits   steps  rejected  µs/step')
for (const problem of chosen) {
  const integrators = names.map((name) => createIntegrator(problem.system, name))
  const points = names.map(() => [])
  // Methods alternate within each tolerance, so that a slow spell of the machine falls on both.
  for (const relative of tolerances) {
    for (const [m, name] of names.entries()) {
      const row = measure(problem, integrators[m], relative)
      points[m].push(row)
      const { steps, rejected } = row.run.statistics
      const ended = row.run.ending.how === 'reached-end' ? '' : `  ${row.run.ending.how}: ${row.run.ending.why ?? ''}`
      console.log(
        `${problem.name.padEnd(12)} ${String(problem.system.size).padStart(3)}  ${name.padEnd(8)} ${relative.toExponential(0).padStart(5)} ` +
          `${row.ms.toFixed(3).padStart(9)} ${row.digits.toFixed(1).padStart(7)} ${String(steps).padStart(7)} ${String(rejected).padStart(9)} ` +
          `${((1000 * row.ms) / (steps + rejected)).toFixed(2).padStart(8)}${ended}`,
      )
    }
  }
  const ratios = [3, 4, 5, 6, 7].flatMap((digits) => {
    const times = points.map((p) => timeAt(p, digits))
    return times.includes(null) ? [] : [`${(times[1] / times[0]).toFixed(2)} at ${digits} digits`]
  })
  if (ratios.length > 0) console.log(`${problem.name}: time of ${names[1]} / ${names[0]} = ${ratios.join(', ')}`)
}
