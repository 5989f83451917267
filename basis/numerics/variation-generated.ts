/** Generated code behind the same interface as the tables of variation-work.ts, which stay as reference and as fallback. */
import type { EsdirkTableau } from './esdirk-tableau.ts'
import { createCodeStore, type GeneratedCode } from './generated-code.ts'
import { createSparseLu, type SparseLu } from './sparse-lu.ts'
import type { VariedSystem } from './varied-system.ts'
import { type VariationWork, widthFor } from './variation-work.ts'
import { encodeVariations, variationCoefficients, type VariationLayout } from './wasm-variations.ts'

/** Compiled modules that are kept. */
const MOST_MODULES = 16
const modules = createCodeStore<VariationLayout>(MOST_MODULES)

interface VariationExports {
  factor(shift: number): number
  begin(scale: number): void
  solveAll(): void
  judge(): void
  interpolate(): void
  keep(): void
}

/** Null when the system offers no code, it would be too long, or the host cannot run it. Results are those of the tables to the last bit, but for the sign of zero. */
export function createGeneratedVariationWork(system: VariedSystem, tableau: EsdirkTableau): VariationWork | null {
  const width = widthFor(system.parameterCount)
  const generated = modules(system, `${tableau.nodes.length} ${width}`, (emittable) =>
    encodeVariations(emittable, system.pattern, width, tableau),
  )
  return generated === null ? null : workOn(system, tableau, width, generated)
}

function workOn(system: VariedSystem, tableau: EsdirkTableau, width: number, generated: GeneratedCode<VariationLayout>): VariationWork {
  const { layout, exports, view } = generated
  const code = exports as unknown as VariationExports
  const before = tableau.nodes.map((_, i) => exports[`before${i}`] as (shift: number) => void)
  const after = tableau.nodes.map((_, i) => exports[`after${i}`] as () => void)
  const n = system.size
  const block = (at: number): Float64Array => view(at, n * width)
  const state = view(layout.state, n)
  const minusJacobian = view(layout.minusJacobian, system.pattern.columns.length)
  const end = block(layout.end)
  const absolute = block(layout.absolute).fill(1)
  const counts = new Int32Array(5)
  const coefficients = variationCoefficients(tableau)
  view(layout.coefficients, 2 * coefficients.length).set(coefficients.flatMap((x) => [x, x]))
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
      generated.refresh()
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
