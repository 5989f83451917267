// One member of a family, in a process of its own: the host's compiler then knows as much of a small system as of a large one. Prints one JSON object.
//   node bench/scaling-member.mjs FOLDER ring 1000
import { execFileSync, spawnSync } from 'node:child_process'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { planFactors } from '../basis/dist/numerics/sparse-plan.js'
import { integratorsFor, measure } from './measure.mjs'
import { nativePeers } from './peers.mjs'
import { operationsOfStep, readProblem } from './problem.mjs'

const PEER = 'cvode-klu'
const OUR_TOLERANCES = [3, 4, 5, 6, 7, 8].map((e) => 10 ** -e)
const PEER_TOLERANCES = [3, 4, 5, 6, 7, 8, 9, 10].map((e) => 10 ** -e)
/** Digits up to which a solver is asked. */
const MOST_DIGITS = 5
const SECONDS_A_CASE = 0.4
/** A method that needs longer is not asked for more digits, milliseconds. */
const LONGEST_MS = 8000

/** Entries of the factors and multiplications of a decomposition: ours, and those of KLU by its two orderings (CVODE takes the second); null without its library. */
function fillOf(pattern) {
  const plan = planFactors(pattern)
  const ours = { entries: plan.column.length, multiplications: plan.target.length }
  const rows = Array.from({ length: pattern.size }, () => [])
  for (let i = 0; i < pattern.size; i++)
    for (let e = pattern.rowStart[i]; e < pattern.rowStart[i + 1]; e++) rows[pattern.columns[e]].push(i)
  const starts = [0]
  for (const column of rows) starts.push(starts.at(-1) + column.length)
  const program = join(tmpdir(), 'beakertide-klu-fill')
  const source = join(dirname(fileURLToPath(import.meta.url)), 'klu-fill.c')
  try {
    execFileSync('gcc', ['-O2', '-I/usr/include/suitesparse', '-o', program, source, '-lklu', '-lm'], { stdio: 'ignore' })
    const input = `${pattern.size} ${pattern.columns.length} ${starts.join(' ')} ${rows.flat().join(' ')}`
    return { ours, klu: JSON.parse(spawnSync(program, { input, encoding: 'utf8' }).stdout) }
  } catch {
    return { ours, klu: null }
  }
}

const [folder, family, size] = process.argv.slice(2)
const file = `${family}${size}`
const peers = nativePeers(folder, [file])
const problem = readProblem(peers.member(family, Number(size)), file)
// Code is generated up to about a thousand species.
const engines = integratorsFor(problem)
const ours = Object.fromEntries(Object.keys(engines).map((name) => [name, []]))
const theirs = []
const rows = []
const enough = (points) => points.some((p) => p.digits >= MOST_DIGITS + 0.3) || (points.at(-1)?.ms ?? 0) > LONGEST_MS
for (const relative of PEER_TOLERANCES) {
  for (const [name, integrator] of Object.entries(engines)) {
    if (!OUR_TOLERANCES.includes(relative) || enough(ours[name])) continue
    const row = measure(problem, integrator, relative, SECONDS_A_CASE)
    ours[name].push(row)
    const operations = operationsOfStep(problem.system, name.split(' ').at(-1))
    rows.push({ problem: file, kind: 'ours', who: name, ...row, ...(operations === null ? {} : { operations }) })
  }
  if (enough(theirs)) continue
  const row = peers.measure(file, PEER, relative, SECONDS_A_CASE)
  if (row === null) continue
  theirs.push(row)
  rows.push({ problem: file, kind: 'native', who: PEER, relative, ...row })
}
console.log(JSON.stringify({ rows, ours, theirs: { [PEER]: theirs }, fill: fillOf(problem.system.pattern) }))
