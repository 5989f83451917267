// One first solve in a fresh process, from a mechanism's text to the end state: node bench/first-solve.mjs generated|tables NAME
// Prints one JSON line: milliseconds of each part, of a second mechanism solved in the same process, and of a repeated solve.
import { createIntegrator, createIntegratorFor, createRosenbrockKernel, methods } from '@beakertide/basis/numerics'
import { compileNetwork, parseMechanism } from '@beakertide/core/mechanism'
import { facts } from '@beakertide/data'

const RELATIVE = 1e-4
const [engine = 'generated', name = 'iodate-peroxide-malonate/extended'] = process.argv.slice(2)
// Common practice, no source: the three solutions of the show in equal parts, mol/L.
const start = { 'IO3-': 0.067, 'I-': 1e-6, 'H+': 0.0335, 'Mn2+': 0.0067, H2O2: 1.3, MA: 0.05, 'SO4^2-': 0.0064, 'HSO4-': 0.0206 }
const files = facts.mechanisms()

/** Text to result; `edit` multiplies a rate constant in the text, as an author would. */
function solve(file, text) {
  const times = [performance.now()]
  const parsed = parseMechanism(text, file.file)
  if (!parsed.ok) throw new Error(parsed.problems[0].what)
  times.push(performance.now())
  const network = compileNetwork(parsed.value, { kind: 'held', temperatureK: 298.15 })
  for (const held of network.heldNames) network.hold(held, start[held] ?? 0)
  const y0 = Float64Array.from(network.stateNames, (state) => start[state] ?? 0)
  times.push(performance.now())
  const integrator = engine === 'tables' ? createIntegratorFor(createRosenbrockKernel(network, methods.rodas4)) : createIntegrator(network)
  times.push(performance.now())
  const request = {
    fromS: 0,
    toS: 600,
    y0,
    tolerances: { relative: RELATIVE, absolute: 1e-9 * RELATIVE },
    keep: 'samples',
    sample: Array.from({ length: 601 }, (_, i) => i),
    invariants: network.conserved,
  }
  const { statistics } = integrator.run(request)
  times.push(performance.now())
  const parts = Object.fromEntries(['parse', 'tables', 'code', 'solve'].map((part, i) => [part, times[i + 1] - times[i]]))
  return { numbers: { ...parts, total: times.at(-1) - times[0], steps: statistics.steps }, again: () => integrator.run(request) }
}

const file = files.find((f) => f.name === name)
if (file === undefined) throw new Error(`no mechanism "${name}"`)
const other = files.find((f) => f.name === 'iodate-peroxide-malonate/skeleton-a-1982')
const first = solve(file, file.text)
let repeated = Infinity
for (let i = 0; i < 30; i++) {
  const begun = performance.now()
  first.again()
  repeated = Math.min(repeated, performance.now() - begun)
}
const second = solve(other, other.text)
console.log(JSON.stringify({ engine, name, first: first.numbers, repeated, second: second.numbers }))
