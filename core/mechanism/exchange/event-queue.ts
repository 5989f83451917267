/**
 * Events of an exchanged model at one instant (Level 3 Version 2 Core, section 4.11): a trigger that turns true asks for
 * its assignments after its delay; what is due at one instant is done one by one, highest priority first, and after each
 * all triggers are looked at again.
 */
import type { Assembled, AssembledEvent } from './assemble.ts'

export interface FiredEvent {
  readonly id: string
  readonly time: number
}

interface Pending {
  readonly event: AssembledEvent
  readonly time: number
  /** Values from the moment of the trigger; null: to be computed when done. */
  readonly values: readonly number[] | null
}

export interface EventQueue {
  readonly fired: readonly FiredEvent[]
  /** Says why the run cannot go on; null while it can. */
  readonly fault: string | null
  /** Reads all triggers from the tape; what turned true is asked for, what turned false and is not persistent is dropped. */
  readTriggers(time: number): void
  /** When the next assignments are due; infinite when none are. */
  readonly nextTime: number
  /** Takes the most urgent assignments due by `time`; null when there are none. */
  take(time: number): { readonly symbols: readonly string[]; readonly values: readonly number[] } | null
}

/** Times nearer than this share count as one instant. */
const SAME_INSTANT = 1e-12

export function eventQueue(model: Assembled): EventQueue {
  const { tape, events } = model
  const was = events.map((event) => event.initialValue)
  const fired: FiredEvent[] = []
  let pending: Pending[] = []
  let fault: string | null = null

  const valueOf = (node: number): number => tape.values[node]!
  const isDue = (p: Pending, time: number): boolean => p.time <= time + SAME_INSTANT * Math.abs(time)

  function ask(event: AssembledEvent, time: number): void {
    const delay = event.delay < 0 ? 0 : valueOf(event.delay)
    if (!(delay >= 0)) {
      fault ??= `the delay of "${event.id}" is ${delay} at time ${time}; it must be zero or more`
      return
    }
    const values = event.valuesFromTrigger ? event.assignments.map((a) => valueOf(a.node)) : null
    pending.push({ event, time: time + delay, values })
  }
  /** No priority, or one that is no number, comes after every other; the standard leaves that order open. */
  const priorityOf = (event: AssembledEvent): number => {
    const priority = event.priority < 0 ? -Infinity : valueOf(event.priority)
    return Number.isNaN(priority) ? -Infinity : priority
  }

  return {
    fired,
    get fault() {
      return fault
    },
    get nextTime() {
      return pending.reduce((first, p) => Math.min(first, p.time), Infinity)
    },
    readTriggers(time) {
      events.forEach((event, i) => {
        const is = event.trigger >= 0 && valueOf(event.trigger) !== 0 && !Number.isNaN(valueOf(event.trigger))
        if (is && was[i] === false) ask(event, time)
        if (!is && was[i] === true && !event.persistent) pending = pending.filter((p) => p.event !== event)
        was[i] = is
      })
    },
    take(time) {
      let chosen: Pending | null = null
      for (const p of pending) {
        if (isDue(p, time) && (chosen === null || priorityOf(p.event) > priorityOf(chosen.event))) chosen = p
      }
      if (chosen === null) return null
      pending = pending.filter((p) => p !== chosen)
      fired.push({ id: chosen.event.id, time })
      const { event, values } = chosen
      return { symbols: event.assignments.map((a) => a.symbol), values: values ?? event.assignments.map((a) => valueOf(a.node)) }
    },
  }
}
