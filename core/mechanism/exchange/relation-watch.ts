/**
 * The relations (<, ≥, = …) of a model while it runs. During a stretch of integration every relation keeps its truth, so
 * that rates are smooth; a stretch ends exactly where a relation changes, and there truth is asked twice: at the instant
 * (equal is equal) and just after it (where the two sides are equal, their slopes decide).
 */
import type { EventFunction } from '@beakertide/basis/numerics'
import type { Assembled } from './assemble.ts'
import type { ExchangeOde } from './exchange-ode.ts'
import { isRelation, type Relation, relationHolds } from './operations.ts'
import type { Program } from './tape.ts'

/** Two sides count as equal when they differ by less than this share of them: what is left of rounding. */
const EQUAL_WITHIN = 1e-12

export type Phase = 'now' | 'after'

interface Watched {
  readonly node: number
  readonly relation: Relation
  readonly left: number
  readonly right: number
  readonly operands: Program
  /** `stands`: only events move it; `clock`: linear in time, its crossing is computed; `moves`: its crossing is searched. */
  readonly how: 'stands' | 'clock' | 'moves'
  /** Side on which it was left when found to cross, and how near; 0: not at a crossing. */
  side: number
  near: number
  /** Difference of the sides and of their slopes at the last look; the band within which the difference counts as `rest`. */
  difference: number
  slope: number
  band: number
  rest: number
}

export interface RelationWatch {
  /** Fills the whole program and settles the truth of every relation at the present inputs. */
  look(phase: Phase): void
  /** Functions for the integrator; each stops the run where its relation changes. */
  readonly eventFunctions: readonly EventFunction[]
  /** Fixes the bands for a stretch that starts with the last look. */
  beginStretch(): void
  /** The next time after `time` at which a relation of the clock changes; infinite when none does. */
  nextClock(time: number): number
  /** Marks the relations that the integrator found to change, and those of the clock that change at this time; inputs must stand at it. */
  arrive(time: number, found: readonly { readonly name: string; readonly rising: boolean }[]): void
  /** Forgets the marks. */
  leave(): void
}

const STANDS = 0
const LINEAR = 1
const MOVES = 2

/** How each node moves during a stretch: not at all, linearly with time, or otherwise. One pass along the tape. */
function motions(model: Assembled): Uint8Array {
  const { tape, timeInput } = model
  const states = new Set(model.states.map((state) => state.input))
  const motion = new Uint8Array(tape.size)
  for (let node = 0; node < tape.size; node++) {
    const op = tape.operationOf(node)
    if (op === null) {
      motion[node] = node === timeInput ? LINEAR : states.has(node) ? MOVES : STANDS
      continue
    }
    const [a, b, c] = tape.operandsOf(node).map((operand) => motion[operand]!) as [number, number, number]
    const most = Math.max(a, b, c)
    const keepsLines =
      op === 'add' || op === 'sub' || op === 'neg' || (op === 'mul' && Math.min(a, b) === STANDS) || (op === 'div' && b === STANDS)
    motion[node] = most === LINEAR && !keepsLines ? MOVES : most
  }
  return motion
}

function watchedOf(model: Assembled, program: Program): readonly Watched[] {
  const { tape } = model
  const motion = motions(model)
  return tape.relationsIn(program).map((node): Watched => {
    const [left, right] = tape.operandsOf(node)
    const most = Math.max(motion[left]!, motion[right]!)
    const relation = tape.operationOf(node)
    return {
      node,
      relation: relation !== null && isRelation(relation) ? relation : 'eq',
      left,
      right,
      operands: tape.programFor([left, right]),
      how: most === STANDS ? 'stands' : most === LINEAR ? 'clock' : 'moves',
      side: 0,
      near: 0,
      difference: 0,
      slope: 0,
      band: 0,
      rest: 0,
    }
  })
}

export function watchRelations(model: Assembled, ode: ExchangeOde, program: Program): RelationWatch {
  const { tape, timeInput, states, stateRates } = model
  const watched = watchedOf(model, program)
  const byNode = new Map(watched.map((w) => [w.node, w]))

  function signOf(w: Watched, phase: Phase): number {
    const x = tape.values[w.left]!
    const y = tape.values[w.right]!
    w.difference = x === y ? 0 : x - y
    w.band = Math.max(EQUAL_WITHIN * (Math.abs(x) + Math.abs(y)), w.side === 0 ? 0 : 2 * w.near)
    if (!Number.isFinite(w.band)) w.band = 0
    if (Math.abs(w.difference) > w.band || Number.isNaN(w.difference)) return Math.sign(w.difference)
    if (phase === 'now') return 0
    if (w.side !== 0) return w.side
    const slope = tape.dots[w.left]! - tape.dots[w.right]!
    return Number.isNaN(slope) ? 0 : Math.sign(slope)
  }

  function look(phase: Phase): void {
    const rates = phase === 'after' ? stateRates.map((rate, i) => (ode.isAlive(i) ? tape.values[rate]! : 0)) : []
    if (phase === 'after') {
      tape.dots[timeInput] = 1
      states.forEach((state, i) => (tape.dots[state.input] = Number.isFinite(rates[i]) ? rates[i]! : 0))
    }
    for (let i = 0; i < program.length; i++) {
      const node = program[i]!
      const w = byNode.get(node)
      if (w) {
        const sign = signOf(w, phase)
        const truth = Number(relationHolds(w.relation, sign))
        tape.values[node] = truth
        tape.held[node] = truth
        // Equality that lasts stands on the side where the relation is as true as at equality.
        w.rest = sign !== 0 ? sign : restingSide(w.relation)
        if (phase === 'after') w.slope = tape.dots[w.left]! - tape.dots[w.right]!
      } else {
        tape.runOne(node)
        if (phase === 'after') tape.slopeOne(node)
      }
    }
    if (phase === 'after') {
      tape.dots[timeInput] = 0
      for (const state of states) tape.dots[state.input] = 0
      tape.clearSlopes(program)
    }
  }

  const eventFunctions = watched
    .filter((w) => w.how === 'moves')
    .map(
      (w): EventFunction => ({
        name: String(w.node),
        direction: 'both',
        stops: true,
        value(time, y) {
          ode.place(time, y)
          tape.run(w.operands)
          const difference = tape.values[w.left]! - tape.values[w.right]!
          return Math.abs(difference) <= w.band ? w.rest * w.band : difference
        },
      }),
    )
  const crossingTime = (w: Watched, time: number): number => (w.slope === 0 ? Infinity : time - w.difference / w.slope)
  const clocks = watched.filter((w) => w.how === 'clock')
  const isLater = (at: number, time: number): boolean => at > time + EQUAL_WITHIN * Math.abs(time)

  return {
    look,
    eventFunctions,
    beginStretch() {
      for (const w of watched) if (Math.abs(w.difference) > w.band) w.band = 0
    },
    nextClock(time) {
      let next = Infinity
      for (const w of clocks) {
        const at = crossingTime(w, time)
        if (Math.abs(w.difference) > w.band && isLater(at, time) && at < next) next = at
      }
      return next
    },
    arrive(time, found) {
      for (const w of watched) {
        const hit = found.find((f) => f.name === String(w.node))
        if (!hit && w.how !== 'clock') continue
        tape.run(w.operands)
        const near = Math.abs(tape.values[w.left]! - tape.values[w.right]!)
        if (!hit && (w.slope === 0 || near > Math.abs(w.slope * time) * EQUAL_WITHIN)) continue
        w.side = hit ? (hit.rising ? 1 : -1) : Math.sign(w.slope)
        w.near = near
      }
    },
    leave() {
      for (const w of watched) w.side = 0
    },
  }
}

function restingSide(relation: Relation): number {
  if (relation === 'eq' || relation === 'neq') return 0
  return relation === 'geq' || relation === 'lt' ? 1 : -1
}
