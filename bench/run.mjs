// Time and digits of our methods on stiff problems, from tables and as generated code, beside native solvers where they can be had, in one run.
//
//   npm run bench                                  the published set that is built in
//   BEAKERTIDE_PEERS=DIR npm run bench             the problem files of DIR/problems, and its native solvers
//   npm run bench -- --only brx                    some problems; the last line has the ratios
//   npm run bench -- --no-peers                    without other solvers
//   npm run bench -- --save FILE                   writes every row, for the pictures (work-precision.mjs)
//   npm run bench -- --scaling                     cost against the number of species; see scaling.mjs
//   npm run bench -- --sensitivities               forward sensitivities against plain runs and differences
//   npm run bench -- --look                        a changed recipe to its colour strip, warm, in a worker
//   npm run bench -- --steps                       every tolerance, with steps and microseconds a step
//   npm run bench -- --first                       first solves only: mechanism text to result in a fresh process
//
// Times of ours are the best of repeated solves (wall clock), those of native solvers their best processor time; only ratios inside one run mean anything.
import { execFileSync } from 'node:child_process'
import { existsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { fastest, integratorsFor, measure, ms, ratio, rowsAsText } from './measure.mjs'
import { isNative, nativePeers } from './peers.mjs'
import { scaling } from './scaling.mjs'
import { builtInProblems, operationsOfStep, readProblem } from './problem.mjs'

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
const DIGITS = [3, 5, 7, 9]
/** SciPy is measured where there is a target against it, up to the digits of that target. */
const SCIPY = { problems: ['br', 'brx', 'orego'], digits: 5 }
const TOLERANCES = [2, 3, 4, 5, 6, 7, 8, 9, 10, 11].map((e) => 10 ** -e)
const PEER_TOLERANCES = TOLERANCES.slice(1, -1)
const SECONDS_A_CASE = 0.25
/** Digits above which tighter tolerances need not be measured. */
const ENOUGH_DIGITS = 9.3
/** Nor by a method that already needs so long, milliseconds. */
const LONGEST_MS = { ours: 400, native: 6000, scipy: 6000 }

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

function report(problem, ours, theirs) {
  const of = (lists, word) => Object.fromEntries(Object.entries(lists).filter(([name]) => name.startsWith(word)))
  const natives = Object.fromEntries(Object.entries(theirs).filter(([name]) => isNative(name)))
  const words = []
  for (const digits of DIGITS) {
    const generated = fastest(of(ours, 'generated'), digits)
    const tables = fastest(of(ours, 'tables'), digits)
    const cvode = fastest(of(theirs, 'cvode'), digits)
    const native = fastest(natives, digits)
    const scipy = fastest(of(theirs, 'scipy'), digits)
    const cells = [
      generated ? `${ms(generated.ms)} ${generated.name.slice(10)}` : '-',
      ms(tables?.ms),
      tables && generated ? (tables.ms / generated.ms).toFixed(1) : '-',
      ms(cvode?.ms),
      ratio(generated, cvode),
      native ? `${ms(native.ms)} ${native.name}` : '-',
      ratio(generated, native),
      ratio(generated, scipy),
    ]
    const [a, b, c, d, e, f, g, h] = cells
    console.log(
      `${problem.name.padEnd(11)} ${digits}  ${a.padEnd(15)} ${b.padStart(7)} ${c.padStart(6)}   ${d.padStart(7)} ${e.padStart(6)}   ${f.padEnd(21)} ${g.padStart(6)}  ${h.padStart(6)}`,
    )
    const python = scipy ? `, ${h} of ${scipy.name}` : ''
    if (native) words.push(`${digits} digits ${e} of CVODE, ${g} of ${native.name}${python}`)
    else if (tables && generated) words.push(`${digits} digits ${c} times as fast as tables`)
  }
  return `${problem.name}: ${words.join('; ')}`
}

if (flag('ten-thousand')) {
  const { tenThousand } = await import('./ten-thousand.mjs')
  await tenThousand()
  process.exit(0)
}
if (flag('sensitivities')) {
  const { sensitivityTimes } = await import('./sensitivities.mjs')
  sensitivityTimes((line) => console.log(line))
  process.exit(0)
}
if (flag('look')) {
  const { looks } = await import('./look.mjs')
  await looks()
  process.exit(0)
}
if (flag('first')) {
  firstSolves()
  process.exit(0)
}
const folder = process.env.BEAKERTIDE_PEERS ?? ''
const save = (rows) => {
  const file = option('save')?.[0]
  if (file !== undefined) writeFileSync(file, rowsAsText(rows))
}
if (flag('scaling')) {
  const sizes = (option('sizes') ?? ['100', '1000', '5000']).map(Number)
  save(scaling(folder, option('only') ?? ['ring', 'net'], sizes, (line) => console.log(line)))
  process.exit(0)
}
const chosen = problems(option('only'), folder)
if (chosen.length === 0) {
  const names = builtInProblems().map((p) => p.name)
  console.error(`no such problem; without BEAKERTIDE_PEERS there are: ${names.join(', ')}`)
  process.exit(2)
}
const peers = flag('no-peers') ? { names: [] } : nativePeers(folder, folder === '' ? [] : chosen.map((p) => p.file))
if (peers.names.length === 0 && peers.why !== undefined) console.log(`Without native solvers: ${peers.why}.`)
const results = []
const rows = []
for (const problem of chosen) {
  const engines = integratorsFor(problem)
  const names = peers.names.filter((name) => isNative(name) || SCIPY.problems.includes(problem.name))
  const ours = Object.fromEntries(Object.keys(engines).map((name) => [name, []]))
  const theirs = Object.fromEntries(names.map((name) => [name, []]))
  const done = (points, digits, kind) => points.some((p) => p.digits >= digits) || (points.at(-1)?.ms ?? 0) > LONGEST_MS[kind]
  const book = (list, kind, name, row) => {
    list[name].push(row)
    const operations = operationsOfStep(problem.system, name.split(' ').at(-1))
    rows.push({ problem: problem.name, kind, who: name, ...row, ...(operations === null ? {} : { operations }) })
    if (!flag('steps')) return
    const trials = row.steps === undefined ? '' : `${String(row.steps).padStart(7)} steps ${String(row.rejected).padStart(6)} rejected `
    const each = kind === 'ours' ? `${((1000 * row.ms) / (row.steps + row.rejected)).toFixed(2).padStart(6)} µs a step` : ''
    console.log(
      `${problem.name.padEnd(11)} ${name.padEnd(18)} ${row.relative.toExponential(0).padStart(5)} ${ms(row.ms).padStart(8)} ms ${row.digits.toFixed(1).padStart(5)} digits ${trials}${each}`,
    )
  }
  // All alternate within each tolerance, so that a slow spell of the machine falls on all.
  for (const relative of TOLERANCES) {
    for (const [name, integrator] of Object.entries(engines)) {
      if (!done(ours[name], ENOUGH_DIGITS, 'ours')) book(ours, 'ours', name, measure(problem, integrator, relative, SECONDS_A_CASE))
    }
    if (!PEER_TOLERANCES.includes(relative)) continue
    for (const name of names) {
      const kind = isNative(name) ? 'native' : 'scipy'
      if (done(theirs[name], kind === 'native' ? ENOUGH_DIGITS : SCIPY.digits, kind)) continue
      const row = peers.measure(problem.file, name, relative, SECONDS_A_CASE)
      if (row !== null) book(theirs, kind, name, { relative, ...row })
    }
  }
  results.push({ problem, ours, theirs })
}
save(rows)
console.log('problem digits  generated, ms    tables  ratio     CVODE  ratio   fastest native, ms     ratio   SciPy')
const last = results.map(({ problem, ours, theirs }) => report(problem, ours, theirs))
for (const line of last) console.log(line)
