#!/usr/bin/env node
// Prints the ledger of outside checks from out/ledger/*.json (written by the checks). `--full` shows every row,
// otherwise one line a subject with its widest use of the tolerance. Exit 1 when there is no row or a row failed.
import { existsSync, readdirSync, readFileSync } from 'node:fs'

const folder = new URL('../out/ledger/', import.meta.url).pathname
const full = process.argv.includes('--full')
if (!existsSync(folder)) {
  console.log('no ledger yet: run `npm run checks` first')
  process.exit(1)
}
const pages = readdirSync(folder)
  .filter((f) => f.endsWith('.json'))
  .sort()
  .map((f) => JSON.parse(readFileSync(folder + f, 'utf8')))
const show = (x) => (x === 0 ? '0' : Math.abs(x) >= 1e5 || Math.abs(x) < 1e-4 ? x.toExponential(4) : String(Number(x.toPrecision(7))))
let rows = 0
let failed = 0
for (const page of pages) {
  if (page.length === 0) continue
  rows += page.length
  const bad = page.filter((r) => !r.ok)
  failed += bad.length
  const seen = {}
  for (const r of page) seen[r.seen] = (seen[r.seen] ?? 0) + 1
  const use = Math.max(...page.map((r) => (r.allowed > 0 ? Math.abs(r.difference) / r.allowed : 0)))
  console.log(
    `${page[0].subject}: ${page.length} checks, ${bad.length} failed; widest use of a tolerance ${(100 * use).toFixed(0)} %; ${Object.entries(
      seen,
    )
      .map(([k, n]) => `${n} ${k}`)
      .join(', ')}`,
  )
  for (const r of full ? page : bad) {
    console.log(
      `  ${r.ok ? 'ok  ' : 'FAIL'} ${r.name}: ours ${show(r.ours)}, theirs ${show(r.theirs)} ${r.unit}, difference ${show(r.difference)} (allowed ${show(r.allowed)}: ${r.because})`,
    )
    console.log(`       ${r.seen}: ${r.source}`)
  }
}
console.log(`ledger: ${rows} checks against outside values, ${failed} failed`)
process.exit(rows === 0 || failed > 0 ? 1 : 0)
