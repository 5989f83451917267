/** Generated code behind the same interface as the tables of variation-work.ts, which stay as reference and as fallback. */
import type { Emittable } from './emittable.ts'
import type { EsdirkTableau } from './esdirk-tableau.ts'
import { emittableOf, math } from './generated-kernel.ts'
import { createSparseLu, type SparseLu } from './sparse-lu.ts'
import type { VariedSystem } from './varied-system.ts'
import { type VariationWork, widthFor } from './variation-work.ts'
import { compileModule, createModuleStore, instantiate, type WasmModule } from './wasm-host.ts'
import { encodeVariations, variationCoefficients, type VariationLayout } from './wasm-variations.ts'

/** Compiled modules that are kept. */
const MOST_MODULES = 16

interface Compiled {
  readonly module: WasmModule
  readonly layout: VariationLayout
}
const kept = createModuleStore<Compiled | null>(MOST_MODULES)

interface VariationExports {
  readonly memory: { readonly buffer: ArrayBuffer }
  factor(shift: number): number
  begin(scale: number): void
  solveAll(): void
  judge(): void
  interpolate(): void
  keep(): void
}

/** Null when the system offers no code, it would be too long, or the host cannot run it. Results are those of the tables to the last bit, but for the sign of zero. */
export function createGeneratedVariationWork(system: VariedSystem, tableau: EsdirkTableau): VariationWork | null {
  const emittable = emittableOf(system)
  if (emittable === null) return null
  const width = widthFor(system.parameterCount)
  const { rowStart, columns } = system.pattern
  const made = kept(`${tableau.nodes.length} ${width} ${rowStart.join()} ${columns.join()} ${emittable.key}`, () => {
    const encoded = encodeVariations(emittable, system.pattern, width, tableau)
    const module = encoded === null ? null : compileModule(encoded.bytes)
    return encoded === null || module === null ? null : { module, layout: encoded.layout }
  })
  const instance = made === null ? null : instantiate(made.module, { math })
  return made === null || instance === null ? null : workOn(system, emittable, tableau, made.layout, width, instance.exports)
}

function workOn(
  system: VariedSystem,
  emittable: Emittable,
  tableau: EsdirkTableau,
  layout: VariationLayout,
  width: number,
  exports: Readonly<Record<string, unknown>>,
): VariationWork {
  const code = exports as unknown as VariationExports
  const before = tableau.nodes.map((_, i) => exports[`before${i}`] as (shift: number) => void)
  const after = tableau.nodes.map((_, i) => exports[`after${i}`] as () => void)
  const n = system.size
  const view = (at: number, length: number): Float64Array => new Float64Array(code.memory.buffer, at, length)
  const block = (at: number): Float64Array => view(at, n * width)
  const state = view(layout.state, n)
  const data = view(layout.data, emittable.dataLength)
  const minusJacobian = view(layout.minusJacobian, system.pattern.columns.length)
  const end = block(layout.end)
  const absolute = block(layout.absolute).fill(1)
  const counts = new Int32Array(5)
  const coefficients = variationCoefficients(tableau)
  view(layout.coefficients, 2 * coefficients.length).set(coefficients.flatMap((x) => [x, x]))
  let changesSeen = -1
  /** Taken for a stage whose fixed pivots fail. */
  let reference: SparseLu | null = null
  let byReference = false

  return {
    width,
    start: block(layout.start),
    end,
    sources: block(layout.sources),
    slope: block(layout.slope),
    absolute,
    relative: view(layout.relative, 2),
    squares: block(layout.squares),
    dense: tableau.dense.map((_, r) => block(layout.dense + r * layout.block)),
    counts,
    begin(scale) {
      code.begin(scale)
    },
    factor(_timeS, y, shift) {
      if (emittable.changes[0] !== changesSeen) {
        changesSeen = emittable.changes[0]!
        emittable.writeData(data)
      }
      state.set(y)
      counts[1]!++
      counts[2]!++
      byReference = code.factor(shift) === 0
      if (!byReference) return true
      reference ??= createSparseLu(system.pattern)
      if (
        !reference.decompose(
          shift,
          minusJacobian.map((x) => -x),
        )
      )
        return false
      if (reference.pivoted) counts[4]!++
      return true
    },
    stage(i, shift) {
      before[i]!(shift)
      if (byReference && reference !== null) reference.solveMany(end, width)
      else code.solveAll()
      after[i]!()
      counts[3]! += width
    },
    judge() {
      code.judge()
    },
    interpolate() {
      code.interpolate()
    },
    keep() {
      code.keep()
    },
  }
}
