import type { EventFunction, FoundEvent } from './ode.ts'
import { findRoot } from './root.ts'

/** Places inside a step at which every g is looked at, the end included. */
const LOOKS = 5
/** Width of the bracket at which a root counts as found, as a share of the step. */
const ROOT_WIDTH = 1e-13
/** Golden-section narrowing of a suspected double root; 24 narrow it to 1e-5 of the step. */
const NARROWINGS = 24
const GOLDEN = (Math.sqrt(5) - 1) / 2

/** Watches the sign of every event function along a run. */
export interface EventWatch {
  readonly found: FoundEvent[]
  /** The event that ends the run, once met. */
  readonly stoppedBy: string | null
  /** Takes the signs at the start of the run; finds nothing. */
  start(timeS: number, y: Float64Array): void
  /** After a break: a sign that changed at this instant is an event of this instant. */
  jump(timeS: number, y: Float64Array): void
  /**
   * Looks through the step from timeS of length hS with `evaluate(θ, out)` as its dense output.
   * Returns θ of the first stopping event, or -1; events after it are not reported.
   */
  step(timeS: number, hS: number, evaluate: (theta: number, out: Float64Array) => void): number
}

/** +1: g came from below zero to zero or above; -1: from above to zero or below; 0: neither. */
function crossing(before: number, after: number): number {
  if (before < 0 && after >= 0) return 1
  if (before > 0 && after <= 0) return -1
  return 0
}

/** An event that starts on zero exactly is met only after g has left zero and come back. */
export function createEventWatch(events: readonly EventFunction[], size: number): EventWatch {
  const found: FoundEvent[] = []
  const y = new Float64Array(size)
  /** Values of each g at the looks of the current step; the first is the end of the step before. */
  const values = events.map(() => new Float64Array(LOOKS + 1))
  const inStep: { theta: number; event: EventFunction; rising: boolean }[] = []
  let stoppedBy: string | null = null

  function wanted(event: EventFunction, sign: number): boolean {
    return sign !== 0 && (event.direction === 'both' || sign > 0 === (event.direction === 'rising'))
  }

  function narrow(g: (theta: number) => number, low: number, high: number, sign: number): number {
    let a = low
    let b = high
    for (let i = 0; i < NARROWINGS; i++) {
      const left = b - GOLDEN * (b - a)
      const right = a + GOLDEN * (b - a)
      const gLeft = sign * g(left)
      const gRight = sign * g(right)
      if (gLeft <= 0) return left
      if (gRight <= 0) return right
      if (gLeft < gRight) b = right
      else a = left
    }
    return -1
  }

  function note(event: EventFunction, g: (theta: number) => number, low: number, high: number, sign: number): void {
    if (!wanted(event, sign)) return
    const theta = findRoot(g, low, high, ROOT_WIDTH)
    inStep.push({ theta: theta ?? high, event, rising: sign > 0 })
  }

  function lookThrough(event: EventFunction, v: Float64Array, g: (theta: number) => number): void {
    for (let i = 1; i <= LOOKS; i++) v[i] = g(i / LOOKS)
    for (let i = 1; i <= LOOKS; i++) {
      const before = v[i - 1]!
      const here = v[i]!
      const sign = crossing(before, here)
      if (sign !== 0) note(event, g, (i - 1) / LOOKS, i / LOOKS, sign)
      if (sign !== 0 || i === LOOKS) continue
      // Same sign on three looks and nearest to zero in the middle: if the parabola through them comes near, look closer.
      const after = v[i + 1]!
      const side = Math.sign(here)
      if (side === 0 || side * before <= side * here || side * after <= side * here) continue
      const bend = before - 2 * here + after
      const lowest = here - (after - before) ** 2 / (8 * bend)
      if (side * lowest > 0.25 * Math.abs(here)) continue
      const dip = narrow(g, (i - 1) / LOOKS, (i + 1) / LOOKS, side)
      if (dip < 0) continue
      note(event, g, (i - 1) / LOOKS, dip, -side)
      note(event, g, dip, (i + 1) / LOOKS, side)
    }
  }

  return {
    found,
    get stoppedBy() {
      return stoppedBy
    },
    start(timeS, state) {
      for (const [e, event] of events.entries()) values[e]![LOOKS] = event.value(timeS, state)
    },
    jump(timeS, state) {
      for (const [e, event] of events.entries()) {
        const after = event.value(timeS, state)
        const sign = crossing(values[e]![LOOKS]!, after)
        values[e]![LOOKS] = after
        if (!wanted(event, sign)) continue
        found.push({ name: event.name, timeS, rising: sign > 0, byBreak: true })
        if (event.stops === true) stoppedBy ??= event.name
      }
    },
    step(timeS, hS, evaluate) {
      inStep.length = 0
      for (const [e, event] of events.entries()) {
        const v = values[e]!
        v[0] = v[LOOKS]!
        lookThrough(event, v, (theta) => {
          evaluate(theta, y)
          return event.value(timeS + theta * hS, y)
        })
      }
      if (inStep.length === 0) return -1
      inStep.sort((p, q) => p.theta - q.theta)
      for (const met of inStep) {
        found.push({ name: met.event.name, timeS: timeS + met.theta * hS, rising: met.rising })
        if (met.event.stops === true) {
          stoppedBy = met.event.name
          return met.theta
        }
      }
      return -1
    },
  }
}
