#!/usr/bin/env node
// Lines of basis and core that the tests ran, from the coverage summary of the last run; exit 1 below the floor.
import { existsSync, readFileSync } from 'node:fs'

/** Percent of lines; the house promises it. */
const FLOOR = 90
const summary = new URL('../coverage/coverage-summary.json', import.meta.url)
if (!existsSync(summary)) {
  console.log('no coverage summary: run vitest with --coverage first')
  process.exit(1)
}
const { total } = JSON.parse(readFileSync(summary, 'utf8'))
console.log(`coverage of basis and core: ${total.lines.pct} % of ${total.lines.total} lines (floor ${FLOOR} %)`)
process.exit(total.lines.total > 1000 && total.lines.pct >= FLOOR ? 0 : 1)
