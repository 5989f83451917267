/** What every generated part shares: whether a system's code may stand for it, its module compiled once, and its numbers kept up to date. */
import type { Emittable } from './emittable.ts'
import type { OdeSystem } from './ode.ts'
import { compileModule, createModuleStore, instantiate, type WasmModule } from './wasm-host.ts'

const math = { exp: Math.exp, ln: Math.log, log10: Math.log10, pow: Math.pow }

/** Whether the code that a system offers still stands for its functions. */
function emittableOf(system: OdeSystem): Emittable | null {
  const { emittable } = system
  if (emittable === undefined || system.timeDerivative !== undefined) return null
  return emittable.rates === system.rates && emittable.jacobian === system.jacobian ? emittable : null
}

/** One instance of the code of a system, with memory of its own. */
export interface GeneratedCode<Layout> {
  readonly layout: Layout
  readonly exports: Readonly<Record<string, unknown>>
  readonly memory: { readonly buffer: ArrayBuffer }
  /** Doubles of its memory from a byte address on. */
  readonly view: (at: number, length: number) => Float64Array
  /** Hands the system's numbers to the code where they have changed since the last time; `Layout.data` is their place. */
  refresh(): void
}

interface Encoded<Layout> {
  readonly bytes: Uint8Array
  readonly layout: Layout
}

/**
 * Instances of generated code, with so many compiled modules kept by structure, so that a sweep, a band or another vessel of the same mechanism compiles
 * nothing. `key` says what the code depends on besides the system. Null when the system offers no code, it would be too long (`encode` gives null), or the
 * host cannot run it.
 */
export function createCodeStore<Layout extends { readonly data: number }>(
  mostModules: number,
): (system: OdeSystem, key: string, encode: (emittable: Emittable) => Encoded<Layout> | null) => GeneratedCode<Layout> | null {
  const kept = createModuleStore<{ readonly module: WasmModule; readonly layout: Layout } | null>(mostModules)
  return (system, key, encode) => {
    const emittable = emittableOf(system)
    if (emittable === null) return null
    const { rowStart, columns } = system.pattern
    const made = kept(`${key} ${rowStart.join()} ${columns.join()} ${emittable.key}`, () => {
      const encoded = encode(emittable)
      const module = encoded === null ? null : compileModule(encoded.bytes)
      return encoded === null || module === null ? null : { module, layout: encoded.layout }
    })
    const instance = made === null ? null : instantiate(made.module, { math })
    return made === null || instance === null ? null : codeOn(emittable, made.layout, instance.exports)
  }
}

function codeOn<Layout extends { readonly data: number }>(
  emittable: Emittable,
  layout: Layout,
  exports: Readonly<Record<string, unknown>>,
): GeneratedCode<Layout> {
  const { memory } = exports as unknown as { readonly memory: { readonly buffer: ArrayBuffer } }
  const view = (at: number, length: number): Float64Array => new Float64Array(memory.buffer, at, length)
  const data = view(layout.data, emittable.dataLength)
  let changesSeen = -1
  return {
    layout,
    exports,
    memory,
    view,
    refresh() {
      if (emittable.changes[0] === changesSeen) return
      changesSeen = emittable.changes[0]!
      emittable.writeData(data)
    },
  }
}
