import type { MethodFacts } from './ode.ts'

/**
 * A Rosenbrock method in the form that needs no product with the Jacobian (Hairer & Wanner II, eq. IV.7.25), u = Γ k:
 *
 *     (I/(hγ) − J) u_i = f(t + α_i h, y + Σ_{j<i} a_ij u_j) + Σ_{j<i} (c_ij/h) u_j + γ_i h ∂f/∂t
 *     y1 = y + Σ m_i u_i,   error = Σ e_i u_i
 *
 * Both methods here are stiffly accurate with m = (last row of a, 1) and e = (0, …, 0, 1), so the last stage alone is
 * the error estimate and is added last.
 */
export interface RosenbrockTableau extends MethodFacts {
  readonly gamma: number
  /** Strictly lower rows: a[i] has i entries. */
  readonly a: readonly (readonly number[])[]
  readonly c: readonly (readonly number[])[]
  /** Stage times α_i = Σ_j α_ij. */
  readonly alpha: readonly number[]
  /** Weights γ_i = Σ_j γ_ij of the time derivative. */
  readonly gammaSum: readonly number[]
  /** Dense rows r_q = Σ_j dense[q][j] u_j; see StepKernel.dense. */
  readonly dense: readonly (readonly number[])[]
}

const rodas4Row5 = [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.687886036105895] as const

/** Six stages, order 4(3), L-stable, stiffly accurate, dense output of order 3. */
export const rodas4: RosenbrockTableau = {
  name: 'rodas4',
  order: 4,
  embeddedOrder: 3,
  denseOrder: 3,
  denseRows: 2,
  source: 'E. Hairer & G. Wanner, Solving Ordinary Differential Equations II, 2nd ed. 1996, section IV.7 (RODAS, first set)',
  gamma: 0.25,
  a: [
    [],
    [1.544],
    [0.9466785280815826, 0.2557011698983284],
    [3.314825187068521, 2.896124015972201, 0.9986419139977817],
    [...rodas4Row5],
    [...rodas4Row5, 1],
  ],
  c: [
    [],
    [-5.6688],
    [-2.430093356833875, -0.2063599157091915],
    [-0.1073529058151375, -9.594562251023355, -20.47028614809616],
    [7.496443313967647, -10.24680431464352, -33.99990352819905, 11.7089089320616],
    [8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054],
  ],
  alpha: [0, 0.386, 0.21, 0.63, 1, 1],
  gammaSum: [0.25, -0.1043, 0.1035, -0.0362, 0, 0],
  dense: [
    [10.12623508344586, -7.487995877610167, -34.80091861555747, -7.992771707568823, 1.025137723295662, 0],
    [-0.6762803392801253, 6.087714651680015, 16.43084320892478, 24.76722511418386, -6.594389125716872, 0],
  ],
}

const rodas5pRow6 = [-7.502846399306121, 2.561846144803919, -11.627539656261098, -0.18268767659942256, 0.030198172008377946] as const

/** Eight stages, order 5(4), L-stable, stiffly accurate, dense output of order 4, kept from order loss on Prothero–Robinson problems. */
export const rodas5p: RosenbrockTableau = {
  name: 'rodas5p',
  order: 5,
  embeddedOrder: 4,
  denseOrder: 4,
  denseRows: 3,
  source: 'G. Steinebach, BIT Numerical Mathematics 63:27 (2023), doi 10.1007/s10543-023-00967-x; coefficients as in open solver libraries',
  gamma: 0.21193756319429014,
  a: [
    [],
    [3],
    [2.849394379747939, 0.45842242204463923],
    [-6.954028509809101, 2.489845061869568, -10.358996098473584],
    [2.8029986275628964, 0.5072464736228206, -0.3988312541770524, -0.04721187230404641],
    [...rodas5pRow6],
    [...rodas5pRow6, 1],
    [...rodas5pRow6, 1, 1],
  ],
  c: [
    [],
    [-14.155112264123755],
    [-17.97296035885952, -2.859693295451294],
    [147.12150275711716, -1.41221402718213, 71.68940251302358],
    [165.43517024871676, -0.4592823456491126, 42.90938336958603, -5.961986721573306],
    [24.854864614690072, -3.0009227002832186, 47.4931110020768, 5.5814197821558125, -0.6610691825249471],
    [30.91273214028599, -3.1208243349937974, 77.79954646070892, 34.28646028294783, -19.097331116725623, -28.087943162872662],
    [
      37.80277123390563, -3.2571969029072276, 112.26918849496327, 66.9347231244047, -40.06618937091002, -54.66780262877968,
      -9.48861652309627,
    ],
  ],
  alpha: [0, 0.6358126895828704, 0.4095798393397535, 0.9769306725060716, 0.4288403609558664, 1, 1, 1],
  gammaSum: [0.21193756319429014, -0.42387512638858027, -0.3384627126235924, 1.8046452872882734, 2.325825639765069, 0, 0, 0],
  dense: [
    [
      25.948786856663858, -2.5579724845846235, 10.433815404888879, -2.3679251022685204, 0.524948541321073, 1.1241088310450404,
      0.4272876194431874, -0.17202221070155493,
    ],
    [
      -9.91568850695171, -0.9689944594115154, 3.0438037242978453, -24.495224566215796, 20.176138334709044, 15.98066361424651,
      -6.789040303419874, -6.710236069923372,
    ],
    [
      11.419903575922262, 2.8879645146136994, 72.92137995996029, 80.12511834622643, -52.072871366152654, -59.78993625266729,
      -0.15582684282751913, 4.883087185713722,
    ],
  ],
}

/** The methods by name. */
export const methods = { rodas4, rodas5p } as const
export type MethodName = keyof typeof methods
