/**
 * The heart of settling: at given activity coefficients, find the ln activities x of the masters with
 *
 *   sum_j a_ji c_j(x) + sum_s b_si u_s = T_i  for every master i,   c_j = exp(k_j + a_j . x),
 *
 * where each phase s (solid, gas) of amount n_s = initial_s + u_s is either absent (n_s = 0) and not oversaturated
 * (b_s . x <= l_s) or present (n_s > 0) and exactly saturated. These are the optimality conditions of one strictly convex problem,
 *
 *   minimise  F(x) = sum_j c_j(x) - (T + sum_s b_s initial_s) . x   subject to   b_s . x <= l_s,
 *
 * so there is one solution and no wrong root to fall into, whatever the signs of a (protons are taken as well as
 * given). It is found by Newton's method that stays inside the constraints (an active-set method: a phase appears
 * when a step would oversaturate it and leaves when its amount would be negative), damped by the slope of F along
 * the step. Source of the method: Boyd & Vandenberghe, Convex Optimization (2004), sections 5.5.3, 9.5 and 10.2;
 * Nocedal & Wright, Numerical Optimization (2006), section 16.5 (both memory).
 */
import { createDenseLu, type DenseLu } from '@beakertide/basis/numerics'

/** A solid, a gas or a held activity, over the masters. */
export interface BalancePhase {
  /** Coefficients b, one a master. */
  readonly coefficients: Float64Array
  /** ln of the saturation product, l. */
  limit: number
  /** True: always saturated, its amount may be negative (a gas exchanged with the air, a pH held). */
  readonly isHeld: boolean
  /** Master that is moved to reach the limit from outside; -1 when there is none. */
  readonly owner: number
  /** What lies there from the start, mol/L. Not in the totals: a large heap of solid must not drown what is dissolved. */
  readonly initial: number
}

export interface Balance {
  readonly masters: number
  /** Row-major, one row a species. */
  readonly matrix: Float64Array
  /** k, one a species: ln of the formation constant less ln of the activity coefficient. */
  readonly offsets: Float64Array
  /** Dissolved as put in; the phases' `initial` comes on top. */
  readonly totals: Float64Array
  readonly phases: readonly BalancePhase[]
}

/** What a search starts from and leaves behind; reused from one ionic strength to the next. */
export interface BalanceState {
  readonly x: Float64Array
  readonly concentrations: Float64Array
  /** What each phase took out of the liquid, mol/L: its amount is `initial` more. An absent phase has given all of it. */
  readonly uptake: Float64Array
  readonly isWorking: boolean[]
  isStarted: boolean
  iterations: number
}

/** Why a search ended without a solution. */
export type BalanceFailure = 'no-start' | 'too-many-steps' | 'singular'

/** Largest change of a ln activity in one step: a factor of a thousand. */
const LARGEST_STEP = Math.log(1000)
const MOST_STEPS = 400
/** A full step below this has, Newton being quadratic, left an error near machine precision. */
const LAST_STEP = 1e-8
/**
 * Saturation rows are weighted so that elimination uses them first: a metal that is all but gone from solution then
 * follows from saturation and its balance gives the amount of solid, instead of the difference of two large numbers.
 */
const PHASE_ROW_WEIGHT = 2 ** 20
/** Relative residual at which rounding rules and further steps gain nothing. */
const ROUNDING = 2e-14
/**
 * Traces beside a large amount of solid see that amount's rounding and may stop improving above it: after some idle
 * steps the last full step is taken as it is. settle() measures the balances afterwards.
 */
const GOOD_ENOUGH = 1e-6
const MOST_IDLE = 4
/** Added to the scaled diagonal, whose entries are 1, when a matrix has no inverse. */
const RIDGES = [0, 1e-10, 1e-6, 1e-3] as const
const START_SWEEPS = 10
/** Where a component without a total starts: neutral water's protons. */
const NEUTRAL_MOL_PER_L = 1e-7
/** exp() beyond this would overflow; no real concentration comes near. */
const LARGEST_LN = 300

/** The non-zero entries of a balance's matrix, row by row, and room to work in: made once a matrix, since a settling asks for nothing else. */
interface Workshop {
  readonly rowStart: Int32Array
  readonly column: Int32Array
  readonly count: Float64Array
  readonly hessian: Float64Array
  readonly gradient: Float64Array
  readonly scale: Float64Array
  readonly magnitude: Float64Array
  readonly trial: Float64Array
  readonly trialConcentrations: Float64Array
  readonly step: Float64Array
  /** For so many phases at saturation. */
  readonly bordered: { readonly lu: DenseLu; readonly right: Float64Array; readonly widths: Float64Array }[]
}

/** By matrix, which belongs to one system of species and never changes. A settling runs to its end before the next one begins, so they may share. */
const workshops = new WeakMap<Float64Array, Workshop>()

function workshopFor({ matrix, masters: n, offsets }: Balance): Workshop {
  const before = workshops.get(matrix)
  if (before !== undefined) return before
  const species = offsets.length
  const rowStart = new Int32Array(species + 1)
  const column: number[] = []
  const count: number[] = []
  for (let j = 0; j < species; j++) {
    for (let i = 0; i < n; i++) {
      const a = matrix[j * n + i]!
      if (a === 0) continue
      column.push(i)
      count.push(a)
    }
    rowStart[j + 1] = column.length
  }
  const made: Workshop = {
    rowStart,
    column: Int32Array.from(column),
    count: Float64Array.from(count),
    hessian: new Float64Array(n * n),
    gradient: new Float64Array(n),
    scale: new Float64Array(n),
    magnitude: new Float64Array(n),
    trial: new Float64Array(n),
    trialConcentrations: new Float64Array(species),
    step: new Float64Array(n),
    bordered: [],
  }
  workshops.set(matrix, made)
  return made
}

/** Fills the concentrations from x. */
function fillConcentrations({ offsets }: Balance, { rowStart, column, count }: Workshop, x: Float64Array, out: Float64Array): void {
  for (let j = 0; j < out.length; j++) {
    let sum = offsets[j]!
    for (let p = rowStart[j]!; p < rowStart[j + 1]!; p++) sum += count[p]! * x[column[p]!]!
    out[j] = Math.exp(Math.min(sum, LARGEST_LN))
  }
}

/** Amount of a phase, mol/L; for a held one negative when it gave. */
export function amountOf(phase: BalancePhase, uptake: number): number {
  const amount = phase.initial + uptake
  return phase.isHeld ? amount : Math.max(amount, 0)
}

/** How far above saturation a phase is, in ln units. */
export function oversaturation(phase: BalancePhase, x: Float64Array): number {
  let sum = -phase.limit
  for (let i = 0; i < x.length; i++) {
    const b = phase.coefficients[i]!
    if (b !== 0) sum += b * x[i]!
  }
  return sum
}

/** Relative error of each master's balance: |what is there - what was put in| over the sum of all magnitudes in it. */
export function relativeResiduals(balance: Balance, state: BalanceState): Float64Array {
  const n = balance.masters
  const error = new Float64Array(n)
  const scale = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    error[i] = -balance.totals[i]!
    scale[i] = Math.abs(balance.totals[i]!)
  }
  const { rowStart, column, count } = workshopFor(balance)
  for (let j = 0; j < state.concentrations.length; j++) {
    for (let p = rowStart[j]!; p < rowStart[j + 1]!; p++) {
      const i = column[p]!
      const part = count[p]! * state.concentrations[j]!
      error[i] = error[i]! + part
      scale[i] = scale[i]! + Math.abs(part)
    }
  }
  balance.phases.forEach((phase, s) => {
    for (let i = 0; i < n; i++) {
      const part = phase.coefficients[i]! * state.uptake[s]!
      error[i] = error[i]! + part
      scale[i] = scale[i]! + Math.abs(part)
    }
  })
  return error.map((e, i) => (scale[i]! > 0 ? Math.abs(e) / scale[i]! : 0))
}

export function createBalanceState(balance: Balance): BalanceState {
  return {
    x: new Float64Array(balance.masters),
    concentrations: new Float64Array(balance.offsets.length),
    uptake: Float64Array.from(balance.phases, (p) => -p.initial),
    isWorking: balance.phases.map((p) => p.isHeld),
    isStarted: false,
    iterations: 0,
  }
}

/** Totals with everything that lies there dissolved. */
function dissolvedTotals(balance: Balance): Float64Array {
  const totals = Float64Array.from(balance.totals)
  for (const phase of balance.phases) for (let i = 0; i < totals.length; i++) totals[i]! += phase.coefficients[i]! * phase.initial
  return totals
}

/** F(x), what the solution makes least. */
function potential(totals: Float64Array, x: Float64Array, concentrations: Float64Array): number {
  let sum = 0
  for (let j = 0; j < concentrations.length; j++) sum += concentrations[j]!
  for (let i = 0; i < x.length; i++) sum -= totals[i]! * x[i]!
  return sum
}

/** For every column of a matrix the rows that have something there, ascending. */
function byMaster(matrix: Float64Array, n: number): readonly (readonly number[])[] {
  const rows = Array.from({ length: n }, (): number[] => [])
  for (let p = 0; p < matrix.length; p++) if (matrix[p] !== 0) rows[p % n]!.push(Math.floor(p / n))
  return rows
}

/**
 * A first guess: every total free, then a few rounds of x_i += ln(given / taken) with both sides of each balance
 * kept positive. The rounds may swing; the best one, by F, is kept. Only nearness matters here, not convergence.
 */
function guess(balance: Balance, workshop: Workshop, state: BalanceState): void {
  const n = balance.masters
  const { x, concentrations } = state
  const best = new Float64Array(n)
  let lowest = Infinity
  const held = balance.phases.filter((p) => p.isHeld && p.owner >= 0)
  const fixed = new Set(held.map((p) => p.owner))
  // What a held phase gives or takes follows from its owner's balance and is taken out of the others'.
  const reduced = Float64Array.from(balance.matrix)
  const whole = dissolvedTotals(balance)
  const totals = Float64Array.from(whole)
  for (const phase of held) {
    for (let i = 0; i < n; i++) {
      const share = phase.coefficients[i]! / phase.coefficients[phase.owner]!
      if (i === phase.owner || share === 0) continue
      totals[i]! -= share * totals[phase.owner]!
      for (let j = 0; j < concentrations.length; j++) reduced[j * n + i]! -= share * reduced[j * n + phase.owner]!
    }
  }
  const takers = byMaster(reduced, n)
  for (let i = 0; i < n; i++) {
    const total = totals[i]!
    x[i] = total > 0 ? Math.log(total) : Math.log(NEUTRAL_MOL_PER_L)
  }
  for (let sweep = 0; sweep < START_SWEEPS; sweep++) {
    for (const phase of held) x[phase.owner]! -= oversaturation(phase, x) / phase.coefficients[phase.owner]!
    fillConcentrations(balance, workshop, x, concentrations)
    const height = potential(whole, x, concentrations)
    if (height < lowest) {
      lowest = height
      best.set(x)
    }
    for (let i = 0; i < n; i++) {
      if (fixed.has(i)) continue
      let there = Math.max(-totals[i]!, 0)
      let wanted = Math.max(totals[i]!, 0)
      let steepest = 1
      for (const j of takers[i]!) {
        const part = reduced[j * n + i]! * concentrations[j]!
        if (part > 0) {
          there += part
          if (part > wanted) steepest = Math.max(steepest, reduced[j * n + i]!)
        } else wanted -= part
      }
      const change = Math.log(wanted / there) / steepest
      if (Number.isFinite(change)) x[i]! += Math.max(-3 * LARGEST_STEP, Math.min(3 * LARGEST_STEP, change))
    }
  }
  if (lowest < Infinity) x.set(best)
}

/** Moves x until held phases are at, and all others not above, saturation; false when two demands cannot both be met. */
function makeFeasible(balance: Balance, state: BalanceState): boolean {
  const { x } = state
  balance.phases.forEach((phase, s) => {
    state.isWorking[s] = phase.isHeld
  })
  for (const pass of [0, 1]) {
    for (const phase of balance.phases) {
      if (!phase.isHeld || phase.owner < 0) continue
      x[phase.owner]! -= oversaturation(phase, x) / phase.coefficients[phase.owner]!
    }
    // The second pass settles one held phase (a gas) that depends on another (the pH).
    if (pass === 1 && balance.phases.some((p) => p.isHeld && Math.abs(oversaturation(p, x)) > 1e-9)) return false
  }
  for (const phase of balance.phases) {
    if (phase.isHeld) continue
    const over = oversaturation(phase, x)
    if (over <= 0) continue
    if (phase.owner < 0) return false
    x[phase.owner]! -= over / phase.coefficients[phase.owner]!
  }
  return true
}

/** Finds the solution from the state (or from a first guess), or says why not. The state holds it afterwards. */
export function createBalancer(balance: Balance): (state: BalanceState) => BalanceFailure | null {
  const n = balance.masters
  const speciesCount = balance.offsets.length
  const { totals, phases } = balance
  const workshop = workshopFor(balance)
  const { rowStart, column, count, hessian, gradient, scale, magnitude, trial, trialConcentrations, step } = workshop
  const working = new Int32Array(phases.length)

  /**
   * Slope of F along `step` at `x + length step`. The pull of the present phases is taken off the totals: along the
   * step it is zero, but its rounding would drown the slope near the solution.
   */
  function slopeAt(state: BalanceState, length: number): number {
    for (let i = 0; i < n; i++) trial[i] = state.x[i]! + length * step[i]!
    fillConcentrations(balance, workshop, trial, trialConcentrations)
    let slope = 0
    for (let i = 0; i < n; i++) {
      let unmet = totals[i]!
      for (let s = 0; s < phases.length; s++) unmet -= phases[s]!.coefficients[i]! * state.uptake[s]!
      slope -= unmet * step[i]!
    }
    for (let j = 0; j < speciesCount; j++) {
      let along = 0
      for (let p = rowStart[j]!; p < rowStart[j + 1]!; p++) along += count[p]! * step[column[p]!]!
      slope += along * trialConcentrations[j]!
    }
    return slope
  }

  /**
   * Newton step and phase amounts for the working set; false when the matrix has no inverse. A `ridge` on its (scaled)
   * diagonal makes one that is singular to rounding solvable; the step then still goes down.
   */
  function newton(state: BalanceState, ridge: number): boolean {
    const { x, concentrations, uptake } = state
    fillConcentrations(balance, workshop, x, concentrations)
    hessian.fill(0)
    for (let i = 0; i < n; i++) {
      gradient[i] = -totals[i]!
      magnitude[i] = Math.abs(totals[i]!)
    }
    for (let s = 0; s < phases.length; s++) {
      const { initial, coefficients } = phases[s]!
      if (state.isWorking[s]) continue
      uptake[s] = -initial
      if (initial === 0) continue
      for (let i = 0; i < n; i++) {
        gradient[i] = gradient[i]! - coefficients[i]! * initial
        magnitude[i] = magnitude[i]! + Math.abs(coefficients[i]! * initial)
      }
    }
    for (let j = 0; j < speciesCount; j++) {
      const c = concentrations[j]!
      const row = rowStart[j]!
      for (let p = row; p < rowStart[j + 1]!; p++) {
        const i = column[p]!
        const part = count[p]! * c
        gradient[i] = gradient[i]! + part
        magnitude[i] = magnitude[i]! + Math.abs(part)
        for (let q = row; q <= p; q++) {
          const at = i * n + column[q]!
          hessian[at] = hessian[at]! + part * count[q]!
        }
      }
    }
    for (let i = 0; i < n; i++) scale[i] = 1 / Math.sqrt(Math.max(hessian[i * n + i]!, Number.MIN_VALUE * 1e30))
    let m = 0
    for (let s = 0; s < phases.length; s++) if (state.isWorking[s]) working[m++] = s
    const size = n + m
    const { lu, right, widths } = (workshop.bordered[m] ??= {
      lu: createDenseLu(size),
      right: new Float64Array(size),
      widths: new Float64Array(m),
    })
    const a = lu.matrix
    a.fill(0)
    for (let i = 0; i < n; i++) {
      for (let k = 0; k <= i; k++) {
        const value = hessian[i * n + k]! * scale[i]! * scale[k]!
        a[i * size + k] = value
        a[k * size + i] = value
      }
    }
    for (let i = 0; i < n; i++) a[i * size + i]! += ridge
    for (let i = 0; i < n; i++) right[i] = -gradient[i]! * scale[i]!
    for (let w = 0; w < m; w++) {
      const phase = phases[working[w]!]!
      let width = 0
      for (let i = 0; i < n; i++) width = Math.max(width, Math.abs(phase.coefficients[i]! * scale[i]!))
      widths[w] = 1 / width
      for (let i = 0; i < n; i++) {
        const value = (phase.coefficients[i]! * scale[i]!) / width
        a[i * size + n + w] = value
        a[(n + w) * size + i] = value * PHASE_ROW_WEIGHT
      }
      right[n + w] = (-oversaturation(phase, x) / width) * PHASE_ROW_WEIGHT
    }
    if (!lu.decompose()) return false
    lu.solve(right)
    for (let i = 0; i < n; i++) step[i] = right[i]! * scale[i]!
    for (let w = 0; w < m; w++) uptake[working[w]!] = right[n + w]! * widths[w]!
    for (let i = 0; i < n; i++) if (!Number.isFinite(step[i]!)) return false
    for (let w = 0; w < m; w++) {
      const s = working[w]!
      for (let i = 0; i < n; i++) magnitude[i] = magnitude[i]! + Math.abs(phases[s]!.coefficients[i]! * uptake[s]!)
    }
    return true
  }

  /** Largest relative error of a balance, read from the step still to go. */
  function remaining(): number {
    let worst = 0
    for (let i = 0; i < n; i++) {
      let sum = 0
      for (let k = 0; k < n; k++) sum += (k <= i ? hessian[i * n + k]! : hessian[k * n + i]!) * step[k]!
      if (magnitude[i]! > 0) worst = Math.max(worst, Math.abs(sum) / magnitude[i]!)
    }
    return worst
  }

  /** The phase, if any, whose amount is most clearly negative. */
  function negativePhase(state: BalanceState, drops: Uint16Array): number {
    let worst = -1
    let most = 0
    for (let s = 0; s < phases.length; s++) {
      const phase = phases[s]!
      if (!state.isWorking[s] || phase.isHeld) continue
      let room = Infinity
      for (let i = 0; i < n; i++) {
        const b = Math.abs(phase.coefficients[i]!)
        if (b > 0) room = Math.min(room, magnitude[i]! / b)
      }
      // A phase that comes and goes is exactly at saturation: its amount is zero to within rounding.
      const tolerance = drops[s]! > 3 ? 1e-9 : 1e-13
      const share = (phase.initial + state.uptake[s]!) / room
      if (share < -tolerance && share < most) {
        most = share
        worst = s
      }
    }
    return worst
  }

  /** Length of step until the first absent phase would be oversaturated, and which. */
  function roomAlong(state: BalanceState): { readonly room: number; readonly blocker: number } {
    let room = Infinity
    let blocker = -1
    for (let s = 0; s < phases.length; s++) {
      if (state.isWorking[s]) continue
      let towards = 0
      for (let i = 0; i < n; i++) towards += phases[s]!.coefficients[i]! * step[i]!
      if (towards <= 0) continue
      const until = Math.max(0, -oversaturation(phases[s]!, state.x) / towards)
      if (until < room) {
        room = until
        blocker = s
      }
    }
    return { room, blocker }
  }

  /**
   * A length that goes well down: halved while F has turned steeply upwards there (F is convex, so its slope tells),
   * doubled while it still falls steeply (far above the solution Newton's own step is only one ln unit).
   */
  function damp(state: BalanceState, first: number, room: number): number {
    const steep = Math.abs(slopeAt(state, 0))
    let length = first
    let there = slopeAt(state, length)
    for (let halvings = 0; halvings < 60 && there > 0.5 * steep; halvings++) {
      length /= 2
      there = slopeAt(state, length)
    }
    while (length >= 1 && there < -0.2 * steep && length < room) {
      const longer = Math.min(2 * length, room)
      const beyond = slopeAt(state, longer)
      if (beyond > 0.5 * steep) break
      length = longer
      there = beyond
    }
    return length
  }

  return (state) => {
    let isFresh = !state.isStarted
    if (isFresh) {
      guess(balance, workshop, state)
      if (!makeFeasible(balance, state)) return 'no-start'
    }
    const drops = new Uint16Array(phases.length)
    const { x } = state
    let best = Infinity
    let idle = 0
    for (let round = 0; round < MOST_STEPS; round++) {
      state.iterations++
      const isSolved = RIDGES.some((ridge) => newton(state, ridge))
      if (!isSolved && isFresh) return 'singular'
      let largest = 0
      for (let i = 0; i < n; i++) largest = Math.max(largest, Math.abs(step[i]!))

      // A warm start may stand a little off its own saturation lines: one full step puts it back, or it starts afresh.
      if (!isFresh) {
        isFresh = true
        const isNear = isSolved && largest < LARGEST_STEP
        if (isNear) for (let i = 0; i < n; i++) x[i]! += step[i]!
        if (!isNear || phases.some((p, s) => !state.isWorking[s] && oversaturation(p, x) > 0)) {
          if (!makeFeasible(balance, state)) return 'no-start'
        }
        continue
      }

      const left = remaining()
      if (left < 0.5 * best) {
        best = left
        idle = 0
      } else idle++
      const isLast = largest < LAST_STEP || left < ROUNDING || (idle >= MOST_IDLE && left < GOOD_ENOUGH)
      if (isLast) {
        for (let i = 0; i < n; i++) x[i]! += step[i]!
        const leaving = negativePhase(state, drops)
        if (leaving < 0) {
          fillConcentrations(balance, workshop, x, state.concentrations)
          state.isStarted = true
          return null
        }
        drops[leaving]!++
        state.isWorking[leaving] = false
        best = Infinity
        continue
      }

      const { room, blocker } = roomAlong(state)
      const length = damp(state, Math.min(1, LARGEST_STEP / largest, room), room)
      for (let i = 0; i < n; i++) x[i]! += length * step[i]!
      if (length === room && blocker >= 0) state.isWorking[blocker] = true
    }
    return 'too-many-steps'
  }
}
