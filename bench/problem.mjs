// Stiff test problems for the bench: problem files (JSON: a mass-action network or right-hand sides) turned into the same tables that a compiled mechanism
// has, so that what is measured is what the product runs; and the published problems that the project carries itself.
import { readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { entryOf, patternOf } from '@beakertide/basis/numerics'
import { planFactors } from '../basis/dist/numerics/sparse-plan.js'
import { stiffTestSet } from '../basis/dist/numerics/test-set.js'
import { Auxiliaries } from '../core/dist/mechanism/auxiliaries.js'
import { OutputTables, SparseSums } from '../core/dist/mechanism/build-tables.js'
import { runNetwork } from '../core/dist/mechanism/run-network.js'
import { mul, numberNode, slotNode } from '../core/dist/mechanism/slot-expression.js'
import { readLaw } from './expression.mjs'

/** Operations of one evaluation of rates and Jacobian, by system. */
const operationsOf = new WeakMap()

const stagesOf = { rodas4: 6, rodas5p: 8 }

/**
 * Floating-point operations of one step of a Rosenbrock method, from the structure alone: a stage evaluates the rates, solves, and combines what came before;
 * a step adds one Jacobian, one decomposition, and the error norm. Null for another method, or a system whose structure is not known.
 */
export function operationsOfStep(system, method) {
  const counted = operationsOf.get(system)
  const stages = stagesOf[method]
  if (counted === undefined || stages === undefined) return null
  const n = system.size
  const plan = planFactors(system.pattern)
  const entries = plan.column.length
  const decompose = 2 * plan.target.length + (entries - n)
  const solve = 2 * entries - n
  return stages * (counted.rates + solve) + counted.jacobian + decompose + n * (2 * stages * (stages - 1) + 8)
}

/** Absolute tolerance for E5 as a share of the relative one; its components end below 1e-22. */
const E5_ABSOLUTE = 1e-23

/** @returns {{ name, title, y0: Float64Array, tEnd: number, nonNegative, absolute: (relative: number) => number, invariants, reference, system }} */
export function readProblem(path, name) {
  const problem = JSON.parse(readFileSync(path, 'utf8'))
  const { species } = problem
  // Those of the larger members of a family stand in one file beside the problems.
  const reference = problem.reference ?? JSON.parse(readFileSync(join(dirname(path), 'references.json'), 'utf8'))[problem.name]
  const rates =
    problem.kind === 'network' ? networkRates(problem) : species.map((s, i) => ({ text: problem.rhs[s], changes: new Map([[i, 1]]) }))
  return {
    name,
    file: problem.name,
    title: problem.title,
    y0: Float64Array.from(problem.y0, Number),
    tEnd: Number(problem.tEnd),
    // A general system may have negative components; a network of concentrations may not.
    nonNegative: problem.kind === 'network' ? 'all' : 'none',
    // The fixed one of E5 is two hundredths of what its second component ends at, so no digits could follow from tighter relative ones.
    absolute: (relative) => (problem.atolFixed === undefined ? problem.atolOverRtol * relative : E5_ABSOLUTE * relative),
    // Networks are run as the product runs them where it matters: E5 keeps its digits only when its total is held.
    invariants: problem.name === 'e5' ? keptTotals(species, rates) : [],
    reference: {
      components: reference.components ?? species.map((_, i) => i),
      y: Float64Array.from(reference.y, Number),
      counted: problem.scdComponents,
      digits: reference.digits,
    },
    system: networkOf(problem, rates),
  }
}

/** The published problems that the project carries itself, in the same shape. */
export function builtInProblems() {
  return stiffTestSet.map((problem) => {
    const last = problem.values.at(-1)
    return {
      name: problem.name.replaceAll(' ', '-').toLowerCase(),
      title: problem.source,
      y0: Float64Array.from(problem.y0),
      tEnd: last.timeS,
      nonNegative: problem.nonNegative,
      absolute: problem.absolute,
      invariants: [],
      reference: { components: last.y.map((_, i) => i), y: Float64Array.from(last.y), counted: problem.counted, digits: last.agreed },
      system: problem.system,
    }
  })
}

/** scd: −lg of the largest relative error over the components (Test Set for IVP Solvers). */
export function correctDigits(problem, y) {
  const { components, y: reference, counted } = problem.reference
  const indices = counted ?? components.map((_, q) => q)
  let worst = 0
  for (const q of indices) {
    const want = reference[q]
    if (want === 0) continue
    const error = Math.abs((y[components[q]] - want) / want)
    if (!(error <= worst)) worst = error
  }
  return -Math.log10(Math.max(worst, 1e-17))
}

/** One rate a reaction: its text or its reactants, and what it changes. */
function networkRates({ species, reactions }) {
  const index = new Map(species.map((name, i) => [name, i]))
  return reactions.map((reaction) => {
    const changes = new Map()
    const count = (side, sign) => {
      for (const [name, n] of Object.entries(side)) changes.set(index.get(name), (changes.get(index.get(name)) ?? 0) + sign * n)
    }
    count(reaction.reactants, -1)
    count(reaction.products, 1)
    for (const [i, n] of changes) if (n === 0) changes.delete(i)
    return { text: reaction.rate, reactants: reaction.reactants, constant: Number(reaction.k), changes }
  })
}

/** Totals that no reaction changes: one for every free column of the eliminated transposed stoichiometry. */
function keptTotals(species, rates) {
  const rows = rates.map(({ changes }) => species.map((_, i) => changes.get(i) ?? 0))
  const pivots = []
  for (let column = 0; column < species.length; column++) {
    const at = rows.findIndex((row, r) => r >= pivots.length && Math.abs(row[column]) > 1e-9)
    if (at < 0) continue
    const lead = rows[at].map((x) => x / rows[at][column])
    rows[at] = rows[pivots.length]
    rows[pivots.length] = lead
    for (const [r, row] of rows.entries()) if (r !== pivots.length) rows[r] = row.map((x, c) => x - row[column] * lead[c])
    pivots.push(column)
  }
  const free = species.map((_, i) => i).filter((i) => !pivots.includes(i))
  return free.map((column) => {
    const weights = new Float64Array(species.length)
    weights[column] = 1
    for (const [r, p] of pivots.entries()) weights[p] = -rows[r][column]
    return { name: `total with ${species[column]}`, weights }
  })
}

/** Laws to tables to a network, as core/mechanism does it for a mechanism: constants in slots, so that they are data. */
function networkOf(problem, rates) {
  const { species } = problem
  const size = species.length
  const index = new Map(species.map((name, i) => [name, i]))
  const constants = new Map(Object.entries(problem.constants ?? {}).map(([name, text]) => [name, Number(text)]))
  const slots = Array.from({ length: size }, () => 0)
  const put = (value) => slots.push(value) - 1
  // The temperature slot of a network without one.
  const temperatureSlot = put(298.15)
  const auxiliaries = new Auxiliaries(() => put(0))
  const outputs = new OutputTables(auxiliaries)
  const constantSlots = rates.map((r) => (r.constant === undefined ? null : put(r.constant)))
  const laws = rates.map((rate, r) => {
    if (rate.text !== undefined) {
      const slotOf = (name) => index.get(name) ?? (name === 'k' ? constantSlots[r] : null)
      return auxiliaries.flat(readLaw(rate.text, slotOf, (name) => constants.get(name)))
    }
    let law = slotNode(constantSlots[r])
    for (const [name, n] of Object.entries(rate.reactants)) {
      const slot = slotNode(index.get(name))
      law = mul(law, n === 1 ? slot : { op: 'pow', a: slot, b: numberNode(n) })
    }
    return auxiliaries.flat(law)
  })
  for (const law of laws) outputs.pushAlways(law)
  const rateAuxiliaryCount = auxiliaries.list.length
  const partials = []
  for (const [rate, law] of laws.entries()) {
    for (let state = 0; state < size; state++) {
      const output = outputs.push(auxiliaries.slope(law, state, () => undefined))
      if (output >= 0) partials.push({ rate, state, output })
    }
  }
  // Opposed steps that follow each other are what a mechanism writes as one reversible step.
  const isBack = (r) =>
    rates[r + 1] !== undefined &&
    rates[r].changes.size === rates[r + 1].changes.size &&
    [...rates[r].changes].every(([i, n]) => rates[r + 1].changes.get(i) === -n)
  const rows = new SparseSums(size)
  for (const [r, { changes }] of rates.entries()) for (const [state, n] of changes) rows.add(state, r, n)
  const pattern = patternOf(
    size,
    partials.flatMap((p) => [...rates[p.rate].changes.keys()].map((row) => [row, p.state])),
  )
  const entries = new SparseSums(pattern.columns.length)
  for (const p of partials) for (const [row, n] of rates[p.rate].changes) entries.add(entryOf(pattern, row, p.state), p.output, n)
  const built = outputs.build(rateAuxiliaryCount, put)
  const [rowSums, entrySums] = [rows.build((r) => (isBack(r) ? r + 1 : -1)), entries.build()]
  const tables = {
    stateCount: size,
    slots: Float64Array.from(slots),
    temperatureSlot,
    temperatureIsFree: false,
    rateCount: rates.length,
    ...built,
    rowStart: rowSums.start,
    rowRate: rowSums.output,
    rowCoefficient: rowSums.coefficient,
    rowOpposed: rowSums.opposed,
    pattern,
    entryStart: entrySums.start,
    entryOutput: entrySums.output,
    entryCoefficient: entrySums.coefficient,
    constantSlot: new Int32Array(0),
    constantValue: new Float64Array(0),
    constantScale: new Float64Array(0),
    constantGroup: new Int32Array(0),
    constantSlopeSlot: new Int32Array(0),
    groupEaOverRK: new Float64Array(0),
    groupReferenceK: new Float64Array(0),
  }
  const factorsUpTo = (output) => built.factorStart[built.monomialStart[output]]
  const network = runNetwork({
    tables,
    stateNames: species,
    stepNames: [],
    rateNames: [],
    stepOfRate: [],
    heldSlots: new Map(),
    constantNames: [],
    constantsSetBy: [],
    processSlots: [],
    heat: { kind: 'held', temperatureK: 298.15 },
    roomSlot: -1,
    lossSlot: -1,
    heatTerms: [],
    heatlessSteps: [],
    stoichiometry: () => 0,
    conserved: [],
  })
  // Multiplications of the laws and additions of the sums; calls inside a rate text count once each.
  operationsOf.set(network, {
    rates: factorsUpTo(rates.length) + rowSums.output.length,
    jacobian: factorsUpTo(built.outputCount) - factorsUpTo(rates.length) + entrySums.output.length,
  })
  return network
}
