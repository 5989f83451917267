// Time and digits of our methods on stiff problems, from tables and as generated code, beside native solvers where they can be had, in one run.
//
//   npm run bench                                  the published set that is built in
//   BEAKERTIDE_PEERS=DIR npm run bench             the problem files of DIR/problems, and its native solvers
//   npm run bench -- --only brx                    some problems; the last line has the ratios
//   npm run bench -- --no-peers                    without native solvers
//   npm run bench -- --steps                       every tolerance, with steps and microseconds a step
//   npm run bench -- --first                       first solves only: mechanism text to result in a fresh process
//
// Times of ours are the best of repeated solves (wall clock), those of native solvers their best processor time; only ratios inside one run mean anything.
import { execFileSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { createGeneratedKernel, createIntegratorFor, createRosenbrockKernel, methods } from '@beakertide/basis/numerics'
import { nativePeers } from './peers.mjs'
import { builtInProblems, correctDigits, readProblem } from './problem.mjs'

/** Name here → problem file. */
const folderProblems = {
  br: 'br',
  brx: 'brx',
  orego: 'orego',
  robertson: 'robertson1e11',
  hires: 'hires',
  pollu: 'pollu',
  vdpol: 'vdpol',
  e5: 'e5',
}
const DIGITS = [3, 5, 7]
const TOLERANCES = [2, 3, 4, 5, 6, 7, 8, 9, 10].map((e) => 10 ** -e)
const PEER_TOLERANCES = TOLERANCES.slice(1)
const SECONDS_A_CASE = 0.25
const WARM_UP_SOLVES = 3
/** Digits above which tighter tolerances need not be measured. */
const ENOUGH_DIGITS = 7.3

const flag = (name) => process.argv.includes(`--${name}`)
function option(name) {
  const at = process.argv.indexOf(`--${name}`)
  return at < 0 ? null : (process.argv[at + 1] ?? '').split(',').filter((word) => word !== '')
}

function problems(only, folder) {
  if (folder === '') {
    const all = builtInProblems()
    return only === null ? all : all.filter((p) => only.includes(p.name))
  }
  const place = existsSync(join(folder, 'problems')) ? join(folder, 'problems') : folder
  return (only ?? Object.keys(folderProblems)).map((name) => readProblem(join(place, `${folderProblems[name] ?? name}.json`), name))
}

/** Best time in milliseconds of repeated solves with reused buffers. */
function measure(problem, integrator, relative) {
  const request = {
    fromS: 0,
    toS: problem.tEnd,
    y0: problem.y0,
    tolerances: { relative, absolute: problem.absolute(relative), nonNegative: problem.nonNegative },
    keep: 'end',
    invariants: problem.invariants,
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
  return { relative, ms: best, digits: run.ending.how === 'reached-end' ? correctDigits(problem, run.end) : Number.NaN, run }
}

/** Least time for so many digits: of a measured point that has them, or between two tolerances on logarithmic scales; null when never reached. */
function timeFor(points, digits) {
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
function fastest(lists, digits) {
  let found = null
  for (const [name, points] of Object.entries(lists)) {
    const ms = timeFor(points, digits)
    if (ms !== null && (found === null || ms < found.ms)) found = { name, ms }
  }
  return found
}

const ms = (value) => (value === null || value === undefined ? '-' : value < 10 ? value.toPrecision(3) : value.toFixed(1))
const ratio = (ours, theirs) => (ours && theirs ? (ours.ms / theirs.ms).toFixed(2) : '-')

function firstSolves() {
  const script = fileURLToPath(new URL('first-solve.mjs', import.meta.url))
  console.log('First solve, mechanism text to 600 s at 1e-4 (rodas4), fresh process, milliseconds; again: best of 30 repeats')
  console.log('engine       parse  tables    code   solve   total   again   another mechanism, same process')
  for (const engine of ['tables', 'generated']) {
    const { first, repeated, second } = JSON.parse(execFileSync(process.execPath, [script, engine], { encoding: 'utf8' }))
    const parts = ['parse', 'tables', 'code', 'solve', 'total'].map((part) => first[part].toFixed(1).padStart(7))
    console.log(`${engine.padEnd(10)} ${parts.join(' ')} ${repeated.toFixed(1).padStart(7)} ${second.total.toFixed(1).padStart(9)}`)
  }
}

function integratorsFor(problem) {
  const engines = {}
  for (const method of Object.keys(methods)) {
    engines[`tables ${method}`] = createIntegratorFor(createRosenbrockKernel(problem.system, methods[method]))
    const generated = createGeneratedKernel(problem.system, methods[method])
    if (generated !== null) engines[`generated ${method}`] = createIntegratorFor(generated)
  }
  return engines
}

function report(problem, ours, theirs) {
  const of = (lists, word) => Object.fromEntries(Object.entries(lists).filter(([name]) => name.startsWith(word)))
  const words = []
  for (const digits of DIGITS) {
    const generated = fastest(of(ours, 'generated'), digits)
    const tables = fastest(of(ours, 'tables'), digits)
    const cvode = fastest(of(theirs, 'cvode'), digits)
    const native = fastest(theirs, digits)
    const cells = [
      generated ? `${ms(generated.ms)} ${generated.name.slice(10)}` : '-',
      ms(tables?.ms),
      tables && generated ? (tables.ms / generated.ms).toFixed(1) : '-',
      ms(cvode?.ms),
      ratio(generated, cvode),
      native ? `${ms(native.ms)} ${native.name}` : '-',
      ratio(generated, native),
    ]
    const [a, b, c, d, e, f, g] = cells
    console.log(
      `${problem.name.padEnd(11)} ${digits}  ${a.padEnd(15)} ${b.padStart(7)} ${c.padStart(6)}   ${d.padStart(7)} ${e.padStart(6)}   ${f.padEnd(21)} ${g.padStart(6)}`,
    )
    if (native) words.push(`${digits} digits ${e} of CVODE, ${g} of ${native.name}`)
    else if (tables && generated) words.push(`${digits} digits ${c} times as fast as tables`)
  }
  return `${problem.name}: ${words.join('; ')}`
}

if (flag('ten-thousand')) {
  const { tenThousand } = await import('./ten-thousand.mjs')
  await tenThousand()
  process.exit(0)
}
if (flag('first')) {
  firstSolves()
  process.exit(0)
}
const folder = process.env.BEAKERTIDE_PEERS ?? ''
const chosen = problems(option('only'), folder)
if (chosen.length === 0) {
  const names = builtInProblems().map((p) => p.name)
  console.error(`no such problem; without BEAKERTIDE_PEERS there are: ${names.join(', ')}`)
  process.exit(2)
}
const peers = flag('no-peers') ? { names: [] } : nativePeers(folder, folder === '' ? [] : chosen.map((p) => p.file))
if (peers.names.length === 0 && peers.why !== undefined) console.log(`Without native solvers: ${peers.why}.`)
const results = []
for (const problem of chosen) {
  const engines = integratorsFor(problem)
  const ours = Object.fromEntries(Object.keys(engines).map((name) => [name, []]))
  const theirs = Object.fromEntries(peers.names.map((name) => [name, []]))
  // All alternate within each tolerance, so that a slow spell of the machine falls on all.
  for (const relative of TOLERANCES) {
    for (const [name, integrator] of Object.entries(engines)) {
      if (ours[name].some((p) => p.digits >= ENOUGH_DIGITS)) continue
      const row = measure(problem, integrator, relative)
      ours[name].push(row)
      if (!flag('steps')) continue
      const { steps, rejected } = row.run.statistics
      console.log(
        `${problem.name.padEnd(11)} ${name.padEnd(18)} ${relative.toExponential(0).padStart(5)} ${ms(row.ms).padStart(8)} ms ${row.digits.toFixed(1).padStart(5)} digits ` +
          `${String(steps).padStart(7)} steps ${String(rejected).padStart(6)} rejected ${((1000 * row.ms) / (steps + rejected)).toFixed(2).padStart(6)} µs a step`,
      )
    }
    if (!PEER_TOLERANCES.includes(relative)) continue
    for (const name of peers.names) {
      if (theirs[name].some((p) => p.digits >= ENOUGH_DIGITS)) continue
      const row = peers.measure(problem.file, name, relative, SECONDS_A_CASE)
      if (row !== null) theirs[name].push(row)
      if (flag('steps') && row !== null)
        console.log(
          `${problem.name.padEnd(11)} ${name.padEnd(18)} ${relative.toExponential(0).padStart(5)} ${ms(row.ms).padStart(8)} ms ${row.digits.toFixed(1).padStart(5)} digits`,
        )
    }
  }
  results.push({ problem, ours, theirs })
}
console.log('problem digits  generated, ms    tables  ratio     CVODE  ratio   fastest native, ms     ratio')
const last = results.map(({ problem, ours, theirs }) => report(problem, ours, theirs))
for (const line of last) console.log(line)
