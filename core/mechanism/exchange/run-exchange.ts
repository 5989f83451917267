/** Runs an assembled model in time: stretches of smooth integration between instants at which something changes at once. */
import { invariant } from '@beakertide/basis/problems'
import { createIntegrator, type Ending, type Integrator } from '@beakertide/basis/numerics'
import type { Assembled } from './assemble.ts'
import { eventQueue, type FiredEvent } from './event-queue.ts'
import { type ExchangeOde, exchangeOde } from './exchange-ode.ts'
import { watchRelations } from './relation-watch.ts'
import type { Program } from './tape.ts'

/** A column of the result: a symbol's value, or the amount or concentration of a species whatever its symbol means. */
export interface WantedColumn {
  readonly id: string
  readonly as: 'value' | 'amount' | 'concentration'
}

export interface ExchangeRunRequest {
  /** Ascending, from zero on; in the model's unit of time. */
  readonly times: ArrayLike<number>
  readonly columns: readonly WantedColumn[]
  /** Of the integration; default 1e-8 and 1e-12. */
  readonly relative?: number
  readonly absolute?: number
  /** Instants at which something may change at once; default 100,000. */
  readonly mostInstants?: number
  /** Trial steps of one stretch of integration; default that of the integrator. */
  readonly mostSteps?: number
  /** Asked now and then; true ends the run with `cancelled`. */
  readonly shouldStop?: () => boolean
}

export interface ExchangeRun {
  /** One row a time that was reached, in the order of `columns`. */
  readonly rows: readonly Float64Array[]
  /** `reached-end`, or why the run stopped before. */
  readonly ending: Ending | { readonly how: 'stopped-short'; readonly timeS: number; readonly why: 'events'; readonly advice: string }
  readonly fired: readonly FiredEvent[]
  /** Times of the wanted ones at which a constraint of the model does not hold, first of each, with its message. */
  readonly broken: readonly { readonly message: string; readonly time: number }[]
}

const SAME_INSTANT = 1e-12
const DEFAULT_MOST_INSTANTS = 100_000
/** Assignments at one instant: more means that events set off one another for ever. */
const MOST_AT_ONCE = 10_000

class Runner {
  private readonly model: Assembled
  private readonly request: ExchangeRunRequest
  private readonly whole: Program
  private readonly outputs: Program
  private readonly columns: readonly { readonly node: number; readonly over: number }[]
  private readonly ode: ExchangeOde
  private readonly integrator: Integrator
  private readonly watch
  private readonly queue
  private readonly inputs: ReadonlyMap<string, number>
  private readonly stateOf: ReadonlyMap<string, number>
  /** Species whose input is a concentration: it is rescaled when an event changes the compartment. */
  private readonly valueHeld: ReadonlySet<string>
  private readonly rows: Float64Array[] = []
  private readonly broken: { message: string; time: number }[] = []
  private readonly y: Float64Array
  private time = 0
  /** The wider the wanted times stand apart, the coarser a relation that turns and turns back is looked for. */
  private readonly longestStep: number

  constructor(model: Assembled, request: ExchangeRunRequest) {
    this.model = model
    this.request = request
    const { tape } = model
    this.columns = request.columns.map((c) => columnOf(model, c))
    const outputs = this.columns.flatMap((c) => (c.over < 0 ? [c.node] : [c.node, c.over]))
    const events = model.events.flatMap((e) => [e.trigger, e.delay, e.priority, ...e.assignments.map((a) => a.node)])
    const constraints = model.constraints.map((c) => c.node)
    const sizes = [...model.amountNodes.values(), ...model.sizeNodes.values()]
    const all = [...model.stateRates, ...outputs, ...events, ...constraints, ...sizes].filter((node) => node >= 0)
    this.whole = tape.programFor(all)
    this.outputs = tape.programFor([...outputs, ...constraints])
    this.ode = exchangeOde(model)
    this.integrator = createIntegrator(this.ode, 'rodas5p')
    this.watch = watchRelations(model, this.ode, this.whole)
    this.queue = eventQueue(model)
    const quantities = [...model.states, ...model.kept]
    this.inputs = new Map(quantities.map((q) => [q.symbol, q.input]))
    this.stateOf = new Map(model.states.map((q, i) => [q.symbol, i]))
    this.valueHeld = new Set(quantities.filter((q) => q.holds === 'value' && model.concentrations.has(q.symbol)).map((q) => q.symbol))
    this.y = new Float64Array(this.ode.size)
    this.longestStep = widestGap(request.times)
    model.kept.forEach((q, i) => tape.set(q.input, model.startOfKept[i]!))
    model.startOfStates.forEach((value, i) => (this.y[i] = value))
  }

  run(): ExchangeRun {
    const { times } = this.request
    const end = times.length > 0 ? times[times.length - 1]! : 0
    const most = this.request.mostInstants ?? DEFAULT_MOST_INSTANTS
    let fault = this.instant([])
    this.recordInstant()
    for (let instants = 0; fault === null && this.time < end; instants++) {
      if (instants > most) return this.finish(stopped(this.time, `something changes at once more than ${most} times`))
      const until = Math.min(end, this.watch.nextClock(this.time), this.queue.nextTime)
      const ending = this.stretch(until)
      if (ending !== null) return this.finish(ending)
      fault = this.instant(this.met)
      this.recordInstant()
    }
    return this.finish(fault === null ? { how: 'reached-end', timeS: this.time } : stopped(this.time, fault))
  }
  private met: readonly { readonly name: string; readonly rising: boolean }[] = []

  private finish(ending: ExchangeRun['ending']): ExchangeRun {
    return { rows: this.rows, ending, fired: this.queue.fired, broken: this.broken }
  }

  /** Integrates to `until` or to the first relation that changes, whichever is first. Null: arrived. */
  private stretch(until: number): Ending | null {
    this.met = []
    this.watch.beginStretch()
    this.watch.leave()
    this.ode.settle(this.time, this.y)
    if (until - this.time <= SAME_INSTANT * Math.abs(until) * 1e-2) {
      this.time = until
      return null
    }
    const start = this.y.map((value, i) => (this.ode.isAlive(i) ? value : 0))
    const solution = this.integrator.run({
      fromS: this.time,
      toS: until,
      y0: start,
      tolerances: { relative: this.request.relative ?? 1e-8, absolute: this.request.absolute ?? 1e-12, nonNegative: 'none' },
      events: this.watch.eventFunctions,
      sample: this.timesBefore(until),
      keep: 'samples',
      ...(this.request.mostSteps === undefined ? {} : { mostSteps: this.request.mostSteps }),
      ...(this.request.shouldStop === undefined ? {} : { shouldStop: this.request.shouldStop }),
      ...(this.watch.eventFunctions.length > 0 ? { longestStepS: this.longestStep } : {}),
    })
    const reached = solution.toS
    for (let i = 0; i < solution.sampledCount; i++) {
      const time = this.request.times[this.rows.length]!
      if (!isBefore(time, reached)) break
      this.ode.place(time, solution.sampled.subarray(i * solution.size, (i + 1) * solution.size))
      this.model.tape.run(this.outputs)
      this.record(time)
    }
    for (let i = 0; i < this.model.states.length; i++) if (this.ode.isAlive(i)) this.y[i] = solution.end[i]!
    this.time = reached
    if (solution.ending.how === 'stopped-short') return solution.ending
    this.met = solution.events.filter((e) => !isBefore(e.timeS, reached))
    return null
  }

  /** Wanted times from the next row on that lie before `until`. */
  private timesBefore(until: number): readonly number[] {
    const list: number[] = []
    for (let i = this.rows.length; i < this.request.times.length && isBefore(this.request.times[i]!, until); i++) {
      list.push(this.request.times[i]!)
    }
    return list
  }

  /** Everything that happens at the present time; null, or why the run cannot go on. */
  private instant(met: readonly { readonly name: string; readonly rising: boolean }[]): string | null {
    this.ode.settle(this.time, this.y)
    this.ode.place(this.time, this.y)
    this.watch.arrive(this.time, met)
    let done = 0
    for (const phase of ['now', 'after'] as const) {
      this.look(phase)
      this.queue.readTriggers(this.time)
      for (let due = this.queue.take(this.time); due !== null && this.queue.fault === null; due = this.queue.take(this.time)) {
        if (++done > MOST_AT_ONCE) return `events set off one another without end at time ${this.time}`
        this.assign(due.symbols, due.values)
        this.look(phase)
        this.queue.readTriggers(this.time)
      }
    }
    return this.queue.fault
  }
  private look(phase: 'now' | 'after'): void {
    if (phase === 'after') this.watch.look('now')
    this.watch.look(phase)
  }

  /** Makes assignments together. Amounts stay when a compartment changes; an assigned concentration counts with the size before. */
  private assign(symbols: readonly string[], values: readonly number[]): void {
    const { tape, sizeNodes, amountNodes, concentrations } = this.model
    const sizeOf = (id: string): number => tape.values[sizeNodes.get(id) ?? -1] ?? Number.NaN
    const sizesBefore = new Map([...amountNodes.keys()].map((id) => [id, sizeOf(id)]))
    symbols.forEach((symbol, i) => {
      const isAmountBehind = concentrations.has(symbol) && !this.valueHeld.has(symbol)
      this.set(symbol, isAmountBehind ? values[i]! * sizesBefore.get(symbol)! : values[i]!)
    })
    this.ode.settle(this.time, this.y)
    this.ode.place(this.time, this.y)
    this.watch.look('now')
    for (const id of this.valueHeld) {
      const [before, after] = [sizesBefore.get(id)!, sizeOf(id)]
      if (before === after || Number.isNaN(before) || Number.isNaN(after)) continue
      this.set(id, (tape.values[this.inputs.get(id)!]! * before) / after)
    }
    this.ode.settle(this.time, this.y)
    this.ode.place(this.time, this.y)
  }
  private set(symbol: string, value: number): void {
    const state = this.stateOf.get(symbol)
    const input = this.inputs.get(symbol)
    if (state !== undefined) this.y[state] = value
    if (input !== undefined) this.model.tape.set(input, value)
  }

  /** Rows that fall on the present time, as it is after everything that happens then. */
  private recordInstant(): void {
    const { times } = this.request
    if (this.rows.length >= times.length || isBefore(this.time, times[this.rows.length]!)) return
    this.watch.look('now')
    while (this.rows.length < times.length && !isBefore(this.time, times[this.rows.length]!)) this.record(times[this.rows.length]!)
    this.watch.look('after')
  }
  private record(time: number): void {
    const { values } = this.model.tape
    this.rows.push(Float64Array.from(this.columns, ({ node, over }) => (over < 0 ? values[node]! : values[node]! / values[over]!)))
    for (const { node, message } of this.model.constraints) {
      if (values[node] === 0 && !this.broken.some((b) => b.message === message)) this.broken.push({ message, time })
    }
  }
}

/** Earlier by more than rounding. */
function isBefore(time: number, other: number): boolean {
  return time < other - SAME_INSTANT * Math.abs(other)
}

function widestGap(times: ArrayLike<number>): number {
  let widest = 0
  for (let i = 1; i < times.length; i++) widest = Math.max(widest, times[i]! - times[i - 1]!)
  return widest > 0 ? widest : Infinity
}

function stopped(timeS: number, why: string): ExchangeRun['ending'] {
  return { how: 'stopped-short', timeS, why: 'events', advice: `${why}; look at the triggers of the events` }
}

function columnOf(model: Assembled, column: WantedColumn): { readonly node: number; readonly over: number } {
  const value = model.valueNodes.get(column.id) ?? model.reactionNodes.get(column.id) ?? -1
  invariant(value >= 0, `the model has no "${column.id}"`)
  const amount = model.amountNodes.get(column.id)
  if (column.as === 'value' || amount === undefined) return { node: value, over: -1 }
  if (column.as === 'amount') return { node: amount, over: -1 }
  return model.concentrations.has(column.id) ? { node: value, over: -1 } : { node: amount, over: model.sizeNodes.get(column.id)! }
}

/**
 * Time course of an assembled model from time zero to the last wanted time. A value that was never given, and all that
 * depends on it, is not a number. A row at the instant of an event shows the state after it. One run at a time a model.
 */
export function runExchange(model: Assembled, request: ExchangeRunRequest): ExchangeRun {
  return new Runner(model, request).run()
}
