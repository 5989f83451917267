// Cost against the number of species: rings of oscillating cells and irregular relaxing nets, ours against CVODE with a sparse direct solver, in one run.
//   BEAKERTIDE_PEERS=DIR npm run bench -- --scaling [--only ring,net] [--sizes 100,1000,5000]
import { execFileSync } from 'node:child_process'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { fastest, ms, ratio } from './measure.mjs'
import { nativePeers } from './peers.mjs'

/** At equal digits; the target is for any of these that both reach. */
const DIGITS = [3, 4, 5]
const TARGETS = { 100: 0.5, 1000: 1, 5000: 1 }
const MEMBER = join(dirname(fileURLToPath(import.meta.url)), 'scaling-member.mjs')

/** The least time of a step, tried ones included, µs. */
const stepOf = (points) => Math.min(...points.map((p) => (1000 * p.ms) / (p.steps + p.rejected)))

/** Exponent of growth between the smallest and the largest size of { size: value }. */
function exponentOf(values) {
  const known = Object.keys(values)
    .map(Number)
    .sort((a, b) => a - b)
  const [small, large] = [known[0], known.at(-1)]
  return small < large ? (Math.log(values[large] / values[small]) / Math.log(large / small)).toFixed(2) : '-'
}

/** A table of { name: { size: value } } with the exponents. */
function sayGrowth(say, title, table, write) {
  say(title)
  for (const [name, values] of Object.entries(table)) {
    const list = Object.entries(values).map(([n, value]) => `${n}: ${write(value)}`)
    say(`${name.padEnd(28)} ${list.join('  ')}   exponent ${exponentOf(values)}`)
  }
}

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
  const [perStep, multiplications, entries] = [{}, {}, {}]
  const put = (table, name, n, value) => {
    if (!Number.isFinite(value)) return
    table[name] ??= {}
    table[name][n] = value
  }
  say('problem   species  digits  ours, ms                  KLU, ms   ratio  target')
  for (const { family, n } of members) {
    const text = execFileSync(process.execPath, [MEMBER, folder, family, String(n)], { encoding: 'utf8', maxBuffer: 2 ** 28 })
    const { rows: own, ours, theirs, fill } = JSON.parse(text)
    rows.push(...own)
    for (const [name, points] of Object.entries({ ...ours, ...theirs })) put(perStep, `${name} ${family}`, n, stepOf(points))
    put(multiplications, `ours ${family}`, n, fill.ours.multiplications)
    put(entries, `ours ${family}`, n, fill.ours.entries)
    for (const [ordering, counted] of Object.entries(fill.klu ?? {})) {
      put(multiplications, `KLU, ${ordering} ${family}`, n, counted.multiplications)
      put(entries, `KLU, ${ordering} ${family}`, n, counted.entries)
    }
    for (const digits of DIGITS) {
      const best = fastest(ours, digits)
      const klu = fastest(theirs, digits)
      say(
        `${family.padEnd(8)} ${String(n).padStart(8)}  ${String(digits).padStart(6)}  ${`${ms(best?.ms)} ${best?.name ?? ''}`.padEnd(24)} ${ms(klu?.ms).padStart(8)} ${ratio(best, klu).padStart(7)}  ${TARGETS[n] ?? ''}`,
      )
    }
  }
  sayGrowth(say, 'µs a step and the exponent of its growth with the number of species', perStep, ms)
  sayGrowth(say, 'multiplications of one decomposition (CVODE takes colamd)', multiplications, String)
  sayGrowth(say, 'entries of the factors', entries, String)
  return rows
}
