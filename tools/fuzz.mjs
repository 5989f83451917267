#!/usr/bin/env node
// Random balanced networks, from tame to absurd (constants and starts from 1e-20 to 1e20): every run must end by name, in finite numbers,
// not below zero, with its totals, in time. Prints a report; exit 1 when anything was not so.
//
//   npm run fuzz                          10,000 networks
//   npm run fuzz -- --count 500 --from 1  some of them
//   npm run fuzz -- --method radau        all with this method instead of the one that is drawn
//   npm run fuzz -- --seed 1234           one, in full
//   npm run fuzz -- --sample 60           plain ones as JSON on standard output, for an independent solver
import { randomCase, runCase } from '../core/dist/mechanism/random-network.js'

const LONGEST_MS = 20_000

function number(name, fallback) {
  const at = process.argv.indexOf(`--${name}`)
  return at < 0 ? fallback : Number(process.argv[at + 1])
}

/** The case of a seed, with the method asked for, if any. */
function caseOf(seed) {
  const fuzz = randomCase(seed)
  const at = process.argv.indexOf('--method')
  return at < 0 ? fuzz : { ...fuzz, method: process.argv[at + 1] }
}

function timed(fuzz) {
  const started = performance.now()
  const verdict = runCase(fuzz, () => performance.now() - started > LONGEST_MS)
  return { verdict, ms: performance.now() - started }
}

function one(seed) {
  const fuzz = caseOf(seed)
  console.log(JSON.stringify(fuzz, null, 1))
  console.log(JSON.stringify(timed(fuzz), null, 1))
}

/** Plain mass action as bare numbers: what any solver can read. */
function sample(count) {
  const problems = []
  for (let seed = 1; problems.length < count; seed++) {
    const fuzz = randomCase(seed, 'plain')
    const names = fuzz.mechanism.species.map((s) => s.id)
    const place = (terms) => terms.map((t) => [names.indexOf(t.species), t.coefficient])
    const reactions = fuzz.mechanism.steps.flatMap((s) => {
      const [from, to] = [place(s.reactants), place(s.products)]
      const constant = (name) => s.constants.find((c) => c.name === name).value
      return s.reversible
        ? [
            { k: constant('kf'), from, to },
            { k: constant('kr'), from: to, to: from },
          ]
        : [{ k: constant('k'), from, to }]
    })
    if (reactions.length < 3) continue
    problems.push({ seed, species: names, y0: names.map((id) => fuzz.start[id]), toS: fuzz.toS, reactions })
  }
  console.log(JSON.stringify({ problems }))
}

function report(from, count) {
  const started = performance.now()
  const endings = new Map()
  const byWildness = new Map()
  const byMethod = new Map()
  const faults = []
  const slowest = []
  let steps = 0
  let rejected = 0
  let worstDrift = 0
  let worstOwn = 0
  let minor = 0
  let below = 0
  let largestSize = 0
  for (let seed = from; seed < from + count; seed++) {
    const fuzz = caseOf(seed)
    let outcome
    try {
      outcome = timed(fuzz)
    } catch (error) {
      faults.push({ seed, method: fuzz.method, wildness: fuzz.wildness, faults: [`threw ${String(error).slice(0, 200)}`] })
      continue
    }
    const { verdict, ms } = outcome
    const name = verdict.ending.how === 'stopped-short' ? `stopped short: ${verdict.ending.why}` : verdict.ending.how
    endings.set(name, (endings.get(name) ?? 0) + 1)
    for (const [table, key] of [
      [byWildness, fuzz.wildness],
      [byMethod, fuzz.method],
    ]) {
      const kind = table.get(key) ?? { runs: 0, reached: 0, steps: 0 }
      kind.runs++
      if (verdict.ending.how === 'reached-end') kind.reached++
      kind.steps += verdict.steps
      table.set(key, kind)
    }
    steps += verdict.steps
    rejected += verdict.rejected
    worstDrift = Math.max(worstDrift, verdict.drift)
    worstOwn = Math.max(worstOwn, verdict.ownDrift)
    if (verdict.ownDrift > 1e-12) minor++
    below = Math.max(below, verdict.below)
    largestSize = Math.max(largestSize, verdict.size)
    if (verdict.faults.length > 0) faults.push({ seed, method: fuzz.method, wildness: fuzz.wildness, faults: verdict.faults })
    slowest.push({ seed, ms, name })
    slowest.sort((a, b) => b.ms - a.ms)
    slowest.length = Math.min(slowest.length, 3)
  }
  const seconds = (performance.now() - started) / 1000
  console.log(`${count} random balanced networks, seeds ${from} to ${from + count - 1}, ${seconds.toFixed(0)} s`)
  console.log('')
  for (const [name, runs] of [...endings].sort((a, b) => b[1] - a[1])) console.log(`  ${String(runs).padStart(6)}  ${name}`)
  console.log('')
  for (const [name, kind] of [...byWildness, ...byMethod]) {
    console.log(`  ${name.padEnd(8)} ${kind.runs} runs, ${kind.reached} reached their end, ${kind.steps} steps`)
  }
  console.log('')
  console.log(`  states at most ${largestSize}; steps ${steps}, rejected ${rejected}`)
  console.log(`  largest drift of a conserved total ${worstDrift.toExponential(1)} of the amounts in the vessel (allowed 1e-12)`)
  console.log(
    `  of the total's own amounts ${worstOwn.toExponential(1)}; above 1e-12 in ${minor} runs, where a trace makes up a total alone`,
  )
  console.log(`  lowest state ${(-below).toPrecision(3)} absolute tolerances (allowed -0.0101)`)
  console.log(`  slowest: ${slowest.map((s) => `seed ${s.seed} ${s.ms.toFixed(0)} ms (${s.name})`).join(', ')}`)
  for (const f of faults.slice(0, 20)) console.log(`  FAULT seed ${f.seed} (${f.wildness}, ${f.method}): ${f.faults.join('; ')}`)
  console.log('')
  console.log(`${count - faults.length} passed, ${faults.length} failed`)
  process.exitCode = faults.length > 0 ? 1 : 0
}

if (process.argv.includes('--seed')) one(number('seed', 1))
else if (process.argv.includes('--sample')) sample(number('sample', 60))
else report(number('from', 1), number('count', 10_000))
