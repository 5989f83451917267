// Cost against the number of species: rings of oscillating cells and irregular relaxing nets, ours against CVODE with a sparse direct solver, in one run.
//   BEAKERTIDE_PEERS=DIR npm run bench -- --scaling [--only ring,net] [--sizes 100,1000,5000]
import { fastest, integratorsFor, measure, ms, ratio } from './measure.mjs'
import { nativePeers } from './peers.mjs'
import { operationsOfStep, readProblem } from './problem.mjs'

const PEER = 'cvode-klu'
const OUR_TOLERANCES = [3, 4, 5, 6, 7].map((e) => 10 ** -e)
const PEER_TOLERANCES = [3, 4, 5, 6, 7, 8, 9, 10].map((e) => 10 ** -e)
/** At equal digits; the target is for any of these that both reach. */
const DIGITS = [3, 4, 5]
const TARGETS = { 100: 0.5, 1000: 1, 5000: 1 }
const SECONDS_A_CASE = 0.4
/** A method that needs longer is not asked for more digits, milliseconds. */
const LONGEST_MS = 8000

/** Rows of every measurement. */
export function scaling(folder, families, sizes, say) {
  const members = families.flatMap((family) => sizes.map((n) => ({ family, n, file: `${family}${n}` })))
  const peers = nativePeers(
    folder,
    members.map((m) => m.file),
  )
  if (peers.member === undefined) {
    say(`Without the peers' folder there are no problems to scale: ${peers.why}.`)
    return []
  }
  const rows = []
  const perStep = {}
  say('problem   species  digits  ours, ms                  KLU, ms   ratio  target')
  for (const { family, n, file } of members) {
    const problem = readProblem(peers.member(family, n), file)
    const theirs = { [PEER]: [] }
    // Code is generated up to about a thousand species.
    const engines = integratorsFor(problem)
    const ours = Object.fromEntries(Object.keys(engines).map((name) => [name, []]))
    const enough = (points) => points.some((p) => p.digits >= DIGITS.at(-1) + 0.3) || (points.at(-1)?.ms ?? 0) > LONGEST_MS
    for (const relative of PEER_TOLERANCES) {
      for (const [name, integrator] of Object.entries(engines)) {
        if (!OUR_TOLERANCES.includes(relative) || enough(ours[name])) continue
        const row = measure(problem, integrator, relative, SECONDS_A_CASE)
        ours[name].push(row)
        const operations = operationsOfStep(problem.system, name.split(' ').at(-1))
        rows.push({ problem: file, kind: 'ours', who: name, ...row, ...(operations === null ? {} : { operations }) })
        const cost = (1000 * row.ms) / (row.steps + row.rejected)
        perStep[`${name} ${family}`] ??= {}
        perStep[`${name} ${family}`][n] = Math.min(perStep[`${name} ${family}`][n] ?? Infinity, cost)
      }
      if (enough(theirs[PEER])) continue
      const row = peers.measure(file, PEER, relative, SECONDS_A_CASE)
      if (row === null) continue
      theirs[PEER].push(row)
      rows.push({ problem: file, kind: 'native', who: PEER, relative, ...row })
    }
    for (const digits of DIGITS) {
      const best = fastest(ours, digits)
      const klu = fastest(theirs, digits)
      say(
        `${family.padEnd(8)} ${String(n).padStart(8)}  ${String(digits).padStart(6)}  ${`${ms(best?.ms)} ${best?.name ?? ''}`.padEnd(24)} ${ms(klu?.ms).padStart(8)} ${ratio(best, klu).padStart(7)}  ${TARGETS[n] ?? ''}`,
      )
    }
  }
  say('µs a step and the exponent of its growth with the number of species')
  for (const [name, costs] of Object.entries(perStep)) {
    const known = Object.keys(costs)
      .map(Number)
      .sort((a, b) => a - b)
    const [small, large] = [known[0], known.at(-1)]
    const exponent = small < large ? (Math.log(costs[large] / costs[small]) / Math.log(large / small)).toFixed(2) : '-'
    say(`${name.padEnd(24)} ${known.map((n) => `${n}: ${ms(costs[n])}`).join('  ')}   exponent ${exponent}`)
  }
  return rows
}
