/** Arithmetic of held totals as a module of its own, on the memory of a generated kernel. */
import { invariant } from '../problems/index.ts'
import type { TotalsArithmetic } from './ode.ts'
import { compileModule, createModuleStore, instantiate, type WasmModule } from './wasm-host.ts'
import { TOTALS_ROOM } from './wasm-step.ts'
import { encodeTotals, totalsPlaces, totalsRoom } from './wasm-totals.ts'

/** Compiled modules that are kept. */
const MOST_MODULES = 48
/** Orders of the totals of one system that are kept. */
const MOST_ORDERS = 16
const modules = createModuleStore<{ readonly module: WasmModule | null }>(MOST_MODULES)

interface TotalsExports {
  measure(address: number): number
  correct(address: number): void
}

/** Where a kernel's module keeps what totals need; bytes. */
export interface TotalsHome {
  readonly state: number
  readonly trial: number
  /** TOTALS_ROOM doubles. */
  readonly totals: number
  /** Of the whole memory. */
  readonly bytes: number
}

/** StepKernel.totalsArithmetic for the kernel whose memory this is; null when there are too many totals, or the host refuses. */
export function createGeneratedTotals(
  memory: { readonly buffer: ArrayBuffer },
  home: TotalsHome,
  state: Float64Array,
  trial: Float64Array,
): (weights: readonly Float64Array[]) => TotalsArithmetic | null {
  function make(weights: readonly Float64Array[]): TotalsArithmetic | null {
    const m = weights.length
    if (totalsRoom(m) > TOTALS_ROOM) return null
    const places = totalsPlaces(home.totals, m)
    const key = `${state.length} ${home.state} ${home.trial} ${home.totals} ${home.bytes} ${weights.map((w) => w.join()).join(';')}`
    const { module } = modules(key, () => ({ module: compileModule(encodeTotals(weights, places, home.bytes)) }))
    const instance = module === null ? null : instantiate(module, { host: { memory } })
    if (instance === null) return null
    const held = instance.exports as unknown as TotalsExports
    const view = (at: number): Float64Array => new Float64Array(memory.buffer, at, m)
    return {
      totals: view(places.totals),
      scales: view(places.scales),
      kept: view(places.kept),
      shares: view(places.shares),
      measure(y) {
        invariant(y === state || y === trial, 'totals are held on the state and the trial of their kernel')
        return held.measure(y === state ? home.state : home.trial)
      },
      correct: (y) => held.correct(y === state ? home.state : home.trial),
    }
  }
  /** Runs of one system hold the same totals again and again, in an order that depends on their amounts: each order is made once. */
  const before: { readonly weights: readonly Float64Array[]; readonly arithmetic: TotalsArithmetic | null }[] = []
  return (weights) => {
    const same = before.find((b) => b.weights.length === weights.length && b.weights.every((w, i) => w === weights[i]))
    if (same !== undefined) return same.arithmetic
    const made = { weights, arithmetic: make(weights) }
    before.unshift(made)
    if (before.length > MOST_ORDERS) before.pop()
    return made.arithmetic
  }
}
