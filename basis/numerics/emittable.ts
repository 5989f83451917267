/** What a system must offer besides running its rates, so that code can be generated for them. */
import type { WasmBody } from './wasm-encoder.ts'

/** Rates or Jacobian of a system: fills `out`. */
type SystemFunction = (timeS: number, y: Float64Array, out: Float64Array) => void

/** Byte addresses of rows of doubles in the kernel's memory. */
export interface EmitPlaces {
  /** The state the code reads, `size` doubles. */
  readonly state: number
  /** `dataLength` doubles that `writeData` fills; the code may keep intermediate values of its own there. */
  readonly data: number
  /** Where the result goes: `size` rates, or one entry of the Jacobian for each place of the pattern. */
  readonly out: number
}

/** Functions that are called, not generated: the host's own, so that both engines round alike. */
export interface EmitCalls {
  readonly exp: number
  readonly ln: number
  readonly log10: number
  readonly pow: number
}

/**
 * Equations as code. What may change from run to run without changing the code (constants, held amounts, a heat capacity) is data: the code reads it
 * from memory, and `changes[0]` counts up whenever it is set anew.
 */
export interface Emittable {
  /** Equal keys: equal code, and one compiled module serves all. Holds everything the code depends on but the pattern. */
  readonly key: string
  /** The functions that this code stands for; a system that has replaced one of them by its own is run as it is. */
  readonly rates: SystemFunction
  readonly jacobian: SystemFunction
  readonly dataLength: number
  readonly changes: Int32Array
  writeData(target: Float64Array): void
  /** About how many operations both bodies have; code that is too long is not generated. */
  readonly operations: number
  /** Puts dy/dt of the state into `out`. */
  emitRates(body: WasmBody, places: EmitPlaces, calls: EmitCalls): void
  /** Puts −df/dy into `out`, in the order of the pattern. Runs straight after the rates of the same state and may read what they left in `data`. */
  emitMinusJacobian(body: WasmBody, places: EmitPlaces, calls: EmitCalls): void
}
