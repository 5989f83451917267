#!/usr/bin/env node
// Prints the ledger of outside checks from out/ledger/*.json (written by the checks). `--full` shows every row,
// otherwise one line a subject with its widest use of a tolerance, and the rows that do not agree.
// Exit 1 when a row failed, when there is none, or when a check file left no page (it did not run, or did not get that far).
import { existsSync, readdirSync, readFileSync } from 'node:fs'

const here = (path) => new URL(`../${path}`, import.meta.url).pathname
const full = process.argv.includes('--full')
const subjects = readdirSync(here('checks'))
  .filter((file) => file.endsWith('.check.ts'))
  .map((file) => file.slice(0, -'.check.ts'.length))
  .sort()

const show = (x) => {
  if (x === null) return 'no number'
  return x === 0 ? '0' : Math.abs(x) >= 1e5 || Math.abs(x) < 1e-4 ? x.toExponential(4) : String(Number(x.toPrecision(7)))
}
const words = { agrees: 'agree', practice: 'common practice' }
const count = (rows, key) => {
  const counts = new Map()
  for (const row of rows) counts.set(row[key], (counts.get(row[key]) ?? 0) + 1)
  return [...counts].map(([word, n]) => `${n} ${words[word] ?? word}`).join(', ')
}
const mark = { agrees: 'ok     ', doubted: 'doubted', 'our fault': 'OURS WRONG', failed: 'FAILED ' }

let rows = 0
let failed = 0
let doubted = 0
let faults = 0
const missing = []
for (const subject of subjects) {
  const file = here(`out/ledger/${subject}.json`)
  const page = existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : []
  if (page.length === 0) {
    missing.push(subject)
    continue
  }
  rows += page.length
  failed += page.filter((r) => r.state === 'failed').length
  doubted += page.filter((r) => r.state === 'doubted').length
  faults += page.filter((r) => r.state === 'our fault').length
  const used = page.filter((r) => r.state === 'agrees' && r.allowed > 0).map((r) => Math.abs(r.difference) / r.allowed)
  const widest = used.length > 0 ? `; widest use of a tolerance ${(100 * Math.max(...used)).toFixed(0)} %` : ''
  console.log(`${subject}: ${page.length} checks: ${count(page, 'state')}${widest}; outside values: ${count(page, 'seen')}`)
  for (const r of full ? page : page.filter((row) => row.state !== 'agrees')) {
    const numbers = `ours ${show(r.ours)}, theirs ${show(r.theirs)} ${r.unit === '1' ? '' : r.unit}`.trimEnd()
    console.log(`  ${mark[r.state]} ${r.name}: ${numbers}, difference ${show(r.difference)} (allowed ${show(r.allowed)}: ${r.because})`)
    if (r.remark !== '') console.log(`          ${r.remark}`)
    console.log(`          ${r.seen}: ${r.source}`)
  }
}
for (const subject of missing) console.log(`${subject}: NO PAGE: run \`npm run checks\``)
console.log(
  `ledger: ${rows} checks against outside values: ${rows - failed - doubted - faults} agree, ${doubted} doubted, ${faults} known faults of ours, ${failed} failed`,
)
process.exit(rows === 0 || failed > 0 || missing.length > 0 ? 1 : 0)
