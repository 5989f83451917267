#!/usr/bin/env node
// Runs the semantic cases of the open exchange standard in a folder (cases/*.jsonl.gz, judge.mjs, models/) through our
// reader and integrator and lets the folder's own judge decide.
//   npm run conformance -- DIR [--only ID,ID] [--tag TEXT] [--rewrite]
// A model that we refuse is listed with its reason. Ends with "N passed, N failed"; refusals of tier 2 stand beside it,
// a refusal of tier 1 is a failure. Exit 0: none failed; 1: some failed; 2: wrong use.
import { existsSync, readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { assemble, readExchange, runExchange, writeExchange } from '@beakertide/core/mechanism'

const root = new URL('..', import.meta.url).pathname
const args = process.argv.slice(2)
const take = (flag) => {
  const at = args.indexOf(flag)
  return at < 0 ? undefined : args.splice(at, 2)[1]
}
const only = take('--only')?.split(',')
const tag = take('--tag')
/** Every model goes through our writer and is read again before it runs. */
const rewrite = args.includes('--rewrite') && args.splice(args.indexOf('--rewrite'), 1).length > 0
const folder = args[0] ? resolve(process.env.INIT_CWD ?? root, args[0]) : undefined
if (!folder || args.length !== 1 || !existsSync(`${folder}/judge.mjs`)) {
  console.error('usage: npm run conformance -- DIR [--only ID,ID] [--tag TEXT] [--rewrite]   (DIR holds judge.mjs and cases/)')
  process.exit(2)
}
const judge = await import(pathToFileURL(`${folder}/judge.mjs`).href)

/** Tolerances of the integration: well inside those of the judge, which are for the result. */
const RELATIVE = 1e-9
const SHARE_OF_ABSOLUTE = 1e-6

const text = (x) => (Number.isNaN(x) ? 'NaN' : x === Infinity ? 'INF' : x === -Infinity ? '-INF' : String(x))
const reasons = (problems) => problems.map((p) => `${p.code}: ${p.what}`).join('; ')

/** The table that the judge wants, or why there is none. */
function solve(c) {
  const { start, duration, steps, variables, absolute, amount, concentration } = c.settings
  let read = readExchange(c.sbml, `${c.id}.xml`)
  if (read.ok && rewrite) read = readExchange(writeExchange(read.value), `${c.id}.xml`)
  if (!read.ok) return { refused: reasons(read.problems) }
  const model = assemble(read.value)
  if (!model.ok) return { refused: reasons(model.problems) }
  const times = Float64Array.from({ length: steps + 1 }, (_, i) => start + (i * duration) / steps)
  const columns = variables.map((id) => ({
    id,
    as: amount.includes(id) ? 'amount' : concentration.includes(id) ? 'concentration' : 'value',
  }))
  const run = runExchange(model.value, { times, columns, relative: RELATIVE, absolute: absolute * SHARE_OF_ABSOLUTE })
  if (run.ending.how !== 'reached-end') return { stopped: `stopped at ${run.ending.timeS}: ${run.ending.advice}` }
  const rows = run.rows.map((row, i) => [times[i], ...row].map(text).join(','))
  return { csv: [`time,${variables.join(',')}`, ...rows].join('\n') }
}

const totals = { passed: 0, failed: 0, refused: 0 }
for (const tier of [1, 2]) {
  const archive = `${folder}/cases/tier${tier}.jsonl.gz`
  if (!existsSync(archive)) continue
  const cases = judge
    .readArchive(archive)
    .filter((c) => (!only || only.includes(c.id)) && (!tag || [...c.tags, ...(c.why ?? [])].some((t) => t.includes(tag))))
  if (cases.length === 0) continue
  const counts = { passed: 0, failed: 0, refused: 0 }
  const began = Date.now()
  for (const c of cases) {
    let found
    try {
      found = solve(c)
    } catch (error) {
      found = { stopped: `our fault: ${error.stack}` }
    }
    const verdict = found.csv === undefined ? null : judge.judgeCase(c, found.csv)
    if (verdict?.pass) {
      counts.passed++
      continue
    }
    const isRefused = found.refused !== undefined && tier === 2
    counts[isRefused ? 'refused' : 'failed']++
    const why = c.why ? ` [${c.why.join(', ')}]` : ''
    console.log(`${c.id} ${isRefused ? 'refused' : 'failed'}: ${found.refused ?? found.stopped ?? verdict.reason}${why}`)
  }
  const seconds = ((Date.now() - began) / 1000).toFixed(1)
  console.log(
    `tier ${tier}: ${counts.passed} passed, ${counts.failed} failed, ${counts.refused} refused of ${cases.length} cases (${seconds} s)`,
  )
  for (const key of Object.keys(totals)) totals[key] += counts[key]
}
/** Rows of one column at the given times. */
function course(file, id, times) {
  const read = readExchange(readFileSync(file, 'utf8'), file)
  if (!read.ok) return { why: reasons(read.problems) }
  const model = assemble(read.value)
  if (!model.ok) return { why: reasons(model.problems) }
  const columns = [id].flat().map((name) => ({ id: name, as: 'value' }))
  const run = runExchange(model.value, { times, columns, relative: 1e-9, absolute: 1e-16 })
  return run.ending.how === 'reached-end' ? { rows: run.rows } : { why: `stopped at ${run.ending.timeS}: ${run.ending.advice}` }
}
const FINE = 20_000
const grid = (from, to, count) => Array.from({ length: count + 1 }, (_, i) => from + (i * (to - from)) / count)
const near = (x, y, relative) => Math.abs(x - y) <= relative * Math.abs(y)
/** Top of the parabola through three rows evenly apart. */
function summit(times, v, i) {
  const bend = v[i - 1] - 2 * v[i] + v[i + 1]
  const shift = bend === 0 ? 0 : (0.5 * (v[i - 1] - v[i + 1])) / bend
  return { at: times[i] + shift * (times[i + 1] - times[i]), height: v[i] - 0.25 * (v[i - 1] - v[i + 1]) * shift }
}

/** What is wrong with one model; nothing: it does what is published. */
function oscillation(path, want, relative) {
  if (want.maxima_at) return closedVessel(path, want, relative)
  const times = grid(want.settle_until, want.settle_until + 2.3 * want.period, FINE)
  const { rows, why } = course(path, want.species, want.settle_until > 0 ? [0, ...times] : times)
  if (why) return [why]
  const v = rows.slice(-times.length).map((row) => row[0])
  const [low, high] = [Math.min(...v.slice(0, FINE)), Math.max(...v.slice(0, FINE))]
  const level = high > 100 * low && low > 0 ? Math.sqrt(low * high) : (low + high) / 2
  const rises = v.flatMap((x, i) =>
    i > 0 && v[i - 1] < level && x >= level ? [times[i - 1] + ((level - v[i - 1]) / (x - v[i - 1])) * (times[i] - times[i - 1])] : [],
  )
  const period = rises[1] - rises[0]
  const tops = v.flatMap((x, i) => (i > 0 && i < FINE && v[i - 1] < x && x >= v[i + 1] ? [summit(times, v, i).height] : []))
  const found = { period, max: Math.max(...tops, high), min: low }
  console.log(
    `  ${want.file}: ${Object.entries(found)
      .map(([key, x]) => `${key} ${x.toPrecision(7)} (${want[key]})`)
      .join(', ')}`,
  )
  return Object.entries(found).flatMap(([key, x]) => (near(x, want[key], relative) ? [] : [`${key} is ${x}, expected ${want[key]}`]))
}
function closedVessel(path, want, relative) {
  const wrong = []
  const times = grid(0, 1.05 * want.maxima_at.at(-1), 4 * FINE)
  const { rows, why } = course(path, want.species, times)
  if (why) return [why]
  const v = rows.map((row) => row[0])
  const tops = v.flatMap((x, i) => (i > 0 && i < v.length - 1 && v[i - 1] < x && x >= v[i + 1] ? [summit(times, v, i)] : []))
  console.log(`  ${want.file}: ${tops.length} maxima, at ${tops.map((t) => t.at.toPrecision(6)).join(' ')}`)
  if (tops.length !== want.maxima_at.length) wrong.push(`${tops.length} maxima, expected ${want.maxima_at.length}`)
  want.maxima_at.forEach((at, i) => {
    if (tops[i] && !(near(tops[i].at, at, relative) && near(tops[i].height, want.maxima[i], relative)))
      wrong.push(`maximum ${i + 1} at ${tops[i].at}, expected ${at}`)
  })
  const names = Object.keys(want.at_3000)
  const last = course(path, names, [0, 3000]).rows?.[1] ?? []
  names.forEach((name, i) => {
    if (!near(last[i], want.at_3000[name], relative)) wrong.push(`${name} at 3000 is ${last[i]}, expected ${want.at_3000[name]}`)
  })
  return wrong
}
const expectations = `${folder}/models/expected.json`
if (existsSync(expectations) && !only && !tag && !rewrite) {
  const { relative_tolerance: relative, models } = JSON.parse(readFileSync(expectations, 'utf8'))
  const counts = { passed: 0, failed: 0 }
  console.log('oscillating models: ours (expected)')
  for (const want of models) {
    const wrong = oscillation(`${folder}/models/${want.file}`, want, relative)
    counts[wrong.length === 0 ? 'passed' : 'failed']++
    if (wrong.length > 0) console.log(`${want.file} failed: ${wrong.join('; ')}`)
  }
  console.log(`models: ${counts.passed} passed, ${counts.failed} failed of ${models.length}`)
  totals.passed += counts.passed
  totals.failed += counts.failed
}
if (totals.refused > 0) console.log(`${totals.refused} refused by name (listed above)`)
console.log(`${totals.passed} passed, ${totals.failed} failed`)
process.exit(totals.failed > 0 || totals.passed === 0 ? 1 : 0)
