/**
 * Random mass-action networks, compiled and run by us, against the ends that SciPy gives them (checks/outside/random_networks.py made the
 * file, from the reactions alone, and kept the networks on which three of its methods agree).
 */
import { compileNetwork, type Mechanism, type Step } from '@beakertide/core/mechanism'
import { createIntegrator, type IntegratorName } from '@beakertide/basis/numerics'
import { ledger } from './ledger.ts'
import { outsideJson } from './outside.ts'

const { check } = ledger('random-networks')

interface Reaction {
  readonly k: number
  readonly from: readonly (readonly [place: number, order: number])[]
  readonly to: readonly (readonly [place: number, order: number])[]
}
interface Problem {
  readonly seed: number
  readonly species: readonly string[]
  readonly y0: readonly number[]
  readonly toS: number
  readonly reactions: readonly Reaction[]
  readonly end: readonly number[]
}
const { source, problems } = outsideJson('random_networks') as { readonly source: string; readonly problems: readonly Problem[] }

function mechanismOf(problem: Problem): Mechanism {
  const terms = (side: Reaction['from']): Step['reactants'] =>
    side.map(([i, coefficient]) => ({ species: problem.species[i]!, coefficient }))
  return {
    name: `random/${problem.seed}`,
    title: '',
    overall: '',
    referenceK: 298.15,
    grade: 'placeholder',
    validK: [200, 500],
    species: problem.species.map((id) => ({ id, name: id, composition: null, charge: 0, role: 'dynamic' })),
    steps: problem.reactions.map((r, i) => ({
      id: `r${i + 1}`,
      equation: '',
      reactants: terms(r.from),
      products: terms(r.to),
      reversible: false,
      law: { kind: 'mass-action' },
      lumped: 'bare numbers',
      constants: [{ name: 'k', value: r.k, unit: '1', activationKJPerMol: null, status: 'assumed', seen: 'assumed', sources: [] }],
    })),
    absorbers: {},
    faults: [],
    bands: [],
    sources: {},
    netReactions: [],
    notes: [],
  }
}

/** Largest difference of any species, relative to it and to 1e-7 of the largest start. */
function apart(problem: Problem, method: IntegratorName): number {
  const network = compileNetwork(mechanismOf(problem), { kind: 'held', temperatureK: 298.15 })
  const largest = Math.max(...problem.y0)
  const run = createIntegrator(network, method).run({
    fromS: 0,
    toS: problem.toS,
    y0: problem.y0,
    tolerances: { relative: 1e-9, absolute: 1e-13 * largest },
    keep: 'end',
  })
  if (run.ending.how !== 'reached-end') throw new Error(`the run ended: ${JSON.stringify(run.ending)}`)
  return problem.end.reduce((most, theirs, i) => Math.max(most, Math.abs(run.end[i]! - theirs) / (Math.abs(theirs) + 1e-7 * largest)), 0)
}

/** Each takes a third of the networks. */
const METHODS: readonly IntegratorName[] = ['rodas4', 'rodas5p', 'radau']

for (const [place, problem] of problems.entries()) {
  const method = METHODS[place % METHODS.length] ?? 'rodas4'
  check(`network ${problem.seed}: ${problem.species.length} species, ${problem.reactions.length} reactions, ${method}`, {
    source,
    seen: 'computed',
    ours: () => apart(problem, method),
    theirs: 0,
    unit: '1',
    within: 5e-7,
    because: 'their methods agree to 1e-7 only, weighted as here; ours run at 1e-9 a step',
  })
}
