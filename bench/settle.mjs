#!/usr/bin/env node
// Settling one liquid, warm: the middle and the slowest of many calls, as a ratio to the quickest of the same run.
//   npm run --silent build && node bench/settle.mjs
import { facts as tables } from '@beakertide/data'
import { settle } from '@beakertide/core/mixture'

const facts = tables.equilibria()
// An acid iodate, peroxide and malonic acid liquid with manganese: 23 species, three solids possible.
const amountsMol = {
  'K+': 0.067,
  'IO3-': 0.067,
  'H+': 0.053,
  'SO4^2-': 0.0332,
  'Mn2+': 0.0067,
  MA: 0.05,
  H2O2: 1.1,
  I2: 1e-4,
  'I-': 1e-4,
  'Na+': 1e-4,
}
const totals = { volumeL: 1, amountsMol }
const WARM = 300
const CALLS = 600

const once = settle(totals, 298.15, facts)
if (!once.ok) throw new Error(once.problems.map((p) => p.what).join('; '))
for (let i = 0; i < WARM; i++) settle(totals, 298.15, facts)
const times = []
for (let i = 0; i < CALLS; i++) {
  const from = performance.now()
  settle(totals, 298 + i * 1e-3, facts)
  times.push(performance.now() - from)
}
times.sort((a, b) => a - b)
const [quickest, middle, slowest] = [times[0], times[CALLS / 2], times[CALLS - 1]]
const species = Object.keys(once.value.concentrationsMolPerL).length
console.log(
  `settle, ${species} species: quickest ${quickest.toFixed(3)} ms, middle ${(middle / quickest).toFixed(2)} times that, slowest ${(slowest / quickest).toFixed(1)} times`,
)
