import { invariant } from '../problems/index.ts'
import { createDenseLu } from './dense-lu.ts'

/** A diagonally implicit Runge–Kutta method with an explicit first stage and one γ: U_i = h s′ at stage i, s_i = s + Σ a_ij U_j + γ U_i. */
export interface EsdirkTableau {
  readonly order: number
  readonly embeddedOrder: number
  readonly source: string
  readonly gamma: number
  readonly nodes: readonly number[]
  /** Row i without its diagonal. The last row is that of the solution. */
  readonly a: readonly (readonly number[])[]
  /** Weights of U_i in the difference to the embedded solution. */
  readonly error: readonly number[]
  /** Weights of U_i in the dense rows r_1, r_2, r_3 of StepKernel.dense. */
  readonly dense: readonly (readonly number[])[]
}

const gamma = 23 / 125
/** In every row the first two coefficients are equal. */
const rows = [
  [23 / 125],
  [791020047304 / 3561426431547],
  [-158159076358 / 11257294102345, -85517644447 / 5003708988389],
  [-1653327111580 / 4048416487981, 1514767744496 / 9099671765375, 14283835447591 / 12247432691556],
  [-4540011970825 / 8418487046959, -1790937573418 / 7393406387169, 10819093665085 / 7266595846747, 4109463131231 / 7386972500302],
  [
    -188593204321 / 4778616380481,
    2809310203510 / 10304234040467,
    1021729336898 / 2364210264653,
    870612361811 / 2470410392208,
    -1307970675534 / 8059683598661,
  ],
] as const
const embedded = [
  -582099335757 / 7214068459310,
  -582099335757 / 7214068459310,
  615023338567 / 3362626566945,
  3192122436311 / 6174152374399,
  6156034052041 / 14430468657929,
  -1011318518279 / 9693750372484,
  1914490192573 / 13754262428401,
]
const nodes = [0, 46 / 125, 7121331996143 / 11335814405378, 49 / 353, 3706679970760 / 5295570149437, 347 / 382, 1]

/**
 * b(θ) = Σ θ^q B_q, q = 1 … 4, of order 4 in the inside of the step, with the slopes of both ends. Order 4 asks, for each power of θ, five sums over the stages
 * (1, c, c², c³, A c²; the other trees follow, as the stage order is two); B_1 is the first stage itself, B_2 the least of what meets its sums, B_3 and B_4 what is
 * left in the end and in its slope besides.
 */
function denseWeights(a: readonly (readonly number[])[], weights: readonly number[]): readonly (readonly number[])[] {
  const squares = nodes.map((c) => c * c)
  const sums = [
    nodes.map(() => 1),
    nodes,
    squares,
    nodes.map((c) => c ** 3),
    nodes.map((_, i) => (a[i] ?? []).reduce((sum, x, j) => sum + x * squares[j]!, i === 0 ? 0 : gamma * squares[i]!)),
  ]
  const wanted: readonly (readonly number[])[] = [
    [0, 1 / 2, 0, 0, 0],
    [0, 0, 1 / 3, 0, 0],
    [0, 0, 0, 1 / 4, 1 / 12],
  ]
  const lu = createDenseLu(sums.length)
  sums.forEach((p, i) => sums.forEach((q, j) => (lu.matrix[i * sums.length + j] = p.reduce((sum, x, k) => sum + x * q[k]!, 0))))
  const isRegular = lu.decompose(0)
  invariant(isRegular, 'the sums of a dense output depend on each other')
  /** The least vector with these sums. */
  const least = wanted.map((w) => {
    const x = Float64Array.from(w)
    lu.solve(x)
    return nodes.map((_, k) => sums.reduce((sum, row, i) => sum + row[k]! * x[i]!, 0))
  })
  const [second, third, fourth] = [least[0]!, least[1]!, least[2]!]
  const last = nodes.length - 1
  const unit = (at: number): number[] => nodes.map((_, k) => (k === at ? 1 : 0))
  const first = unit(0)
  const end = unit(last)
  const inEnd = nodes.map((_, k) => weights[k]! - first[k]! - second[k]! - third[k]! - fourth[k]!)
  const inSlope = nodes.map((_, k) => end[k]! - first[k]! - 2 * second[k]! - 3 * third[k]! - 4 * fourth[k]!)
  const b3 = nodes.map((_, k) => third[k]! + 4 * inEnd[k]! - inSlope[k]!)
  const b4 = nodes.map((_, k) => fourth[k]! - 3 * inEnd[k]! + inSlope[k]!)
  return [nodes.map((_, k) => -second[k]! - b3[k]! - b4[k]!), nodes.map((_, k) => -b3[k]! - b4[k]!), nodes.map((_, k) => -b4[k]!)]
}

function build(): EsdirkTableau {
  const a: readonly (readonly number[])[] = [[], ...rows.map(([first, ...others], i) => (i === 0 ? [first] : [first, first, ...others]))]
  const weights = [...a.at(-1)!, gamma]
  return {
    order: 5,
    embeddedOrder: 4,
    source:
      'ESDIRK5(4)7L[2]SA2 of C. A. Kennedy & M. H. Carpenter, Appl. Numer. Math. 146 (2019) 221–244, doi 10.1016/j.apnum.2019.07.008; coefficients as in open solver libraries, proved by their order conditions; dense output worked out here',
    gamma,
    nodes,
    a,
    error: weights.map((b, i) => b - embedded[i]!),
    dense: denseWeights(a, weights),
  }
}

/** Seven stages, six of them implicit, order 5(4), stage order 2, L-stable, stiffly accurate. */
export const esdirk5: EsdirkTableau = build()
