// Reads a stiff test problem (JSON: a mass-action network or right-hand sides) into an OdeSystem driven by tables.
// Only for the bench: the product compiles mechanisms in core/mechanism.
import { readFileSync } from 'node:fs'
import { entryOf, patternOf } from '@beakertide/basis/numerics'
import { stiffTestSet } from '../basis/dist/numerics/test-set.js'
import { derivative, evaluator, monomial, parse, variables } from './expression.mjs'

/** @returns {{ name, title, species, y0: Float64Array, tEnd: number, absolute: (relative: number) => number, reference, system }} */
export function readProblem(path) {
  const problem = JSON.parse(readFileSync(path, 'utf8'))
  const species = problem.species
  const constants = Object.fromEntries(Object.entries(problem.constants ?? {}).map(([name, text]) => [name, Number(text)]))
  const terms =
    problem.kind === 'network'
      ? networkTerms(problem, species, constants)
      : species.map((name, i) => general(parse(problem.rhs[name]), species, constants, [[i, 1]]))
  return {
    name: problem.name,
    title: problem.title,
    species,
    y0: Float64Array.from(problem.y0, Number),
    tEnd: Number(problem.tEnd),
    // A general system may have negative components; a network of concentrations may not.
    nonNegative: problem.kind === 'network' ? 'all' : 'none',
    absolute: (relative) => (problem.atolFixed === undefined ? problem.atolOverRtol * relative : problem.atolFixed),
    reference: {
      components: problem.reference.components ?? species.map((_, i) => i),
      y: Float64Array.from(problem.reference.y, Number),
      counted: problem.scdComponents,
      digits: problem.reference.digits,
    },
    system: systemOf(species.length, terms),
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

function networkTerms(problem, species, constants) {
  const index = new Map(species.map((name, i) => [name, i]))
  return problem.reactions.map((reaction) => {
    const change = new Map()
    for (const [name, count] of Object.entries(reaction.reactants)) change.set(index.get(name), (change.get(index.get(name)) ?? 0) - count)
    for (const [name, count] of Object.entries(reaction.products)) change.set(index.get(name), (change.get(index.get(name)) ?? 0) + count)
    const changes = [...change].filter(([, nu]) => nu !== 0)
    const k = Number(reaction.k)
    if (reaction.rate === undefined) {
      const powers = new Map(Object.entries(reaction.reactants).map(([name, count]) => [index.get(name), count]))
      return { kind: 'monomial', factor: k, powers, changes }
    }
    return general(parse(reaction.rate), species, { ...constants, k }, changes)
  })
}

/** A rate that is a product of whole powers becomes table entries; anything else is evaluated as an expression. */
function general(expression, species, constants, changes) {
  const index = new Map(species.map((name, i) => [name, i]))
  const product = monomial(expression, constants)
  if (product !== null) {
    const powers = new Map(Object.entries(product.powers).map(([name, count]) => [index.get(name), count]))
    return { kind: 'monomial', factor: product.factor, powers, changes }
  }
  const names = variables(expression).filter((name) => index.has(name))
  return {
    kind: 'expression',
    value: evaluator(expression, index, constants),
    slopes: names.map((name) => ({ column: index.get(name), value: evaluator(derivative(expression, name), index, constants) })),
    changes,
  }
}

/** Factor lists, stoichiometry and Jacobian targets flattened into typed arrays. */
function systemOf(size, terms) {
  const places = []
  for (const term of terms) {
    const columns = term.kind === 'monomial' ? [...term.powers.keys()] : term.slopes.map((s) => s.column)
    for (const [row] of term.changes) for (const column of columns) places.push([row, column])
  }
  const pattern = patternOf(size, places)
  const monomials = terms.filter((t) => t.kind === 'monomial')
  const expressions = terms
    .filter((t) => t.kind === 'expression')
    .map((t) => ({
      ...t,
      slopes: t.slopes.map((s) => ({ ...s, targets: t.changes.map(([row, nu]) => [entryOf(pattern, row, s.column), nu]) })),
    }))
  const repeat = (powers, less) => [...powers].flatMap(([i, count]) => Array(i === less ? count - 1 : count).fill(i))

  const rates = packProducts(monomials.map((m) => ({ factor: m.factor, factors: repeat(m.powers), targets: m.changes })))
  const slopes = packProducts(
    monomials.flatMap((m) =>
      [...m.powers].map(([column, count]) => ({
        factor: m.factor * count,
        factors: repeat(m.powers, column),
        targets: m.changes.map(([row, nu]) => [entryOf(pattern, row, column), nu]),
      })),
    ),
  )
  return {
    size,
    pattern,
    rates(_t, y, out) {
      addProducts(rates, y, out)
      for (const e of expressions) {
        const v = e.value(y)
        for (const [i, nu] of e.changes) out[i] += nu * v
      }
    },
    jacobian(_t, y, values) {
      addProducts(slopes, y, values)
      for (const e of expressions) {
        for (const s of e.slopes) {
          const v = s.value(y)
          for (const [p, nu] of s.targets) values[p] += nu * v
        }
      }
    },
  }
}

function packProducts(products) {
  const factorStart = new Int32Array(products.length + 1)
  const targetStart = new Int32Array(products.length + 1)
  for (const [i, p] of products.entries()) {
    factorStart[i + 1] = factorStart[i] + p.factors.length
    targetStart[i + 1] = targetStart[i] + p.targets.length
  }
  return {
    count: products.length,
    constant: Float64Array.from(products, (p) => p.factor),
    factorStart,
    factor: Int32Array.from(products.flatMap((p) => p.factors)),
    targetStart,
    target: Int32Array.from(products.flatMap((p) => p.targets.map(([at]) => at))),
    weight: Float64Array.from(products.flatMap((p) => p.targets.map(([, nu]) => nu))),
  }
}

function addProducts(table, y, out) {
  const { count, constant, factorStart, factor, targetStart, target, weight } = table
  out.fill(0)
  let f = 0
  let q = 0
  for (let r = 0; r < count; r++) {
    let v = constant[r]
    for (const end = factorStart[r + 1]; f < end; f++) v *= y[factor[f]]
    for (const end = targetStart[r + 1]; q < end; q++) out[target[q]] += weight[q] * v
  }
}
