import type { Rows, Source } from '../sources/index.ts'
import { seenFrom } from '../sources/index.ts'
import { invariant } from '../problems/index.ts'

/** Tristimulus values, Y = 1 for the light itself unless said otherwise. */
export type Xyz = readonly [x: number, y: number, z: number]

/** A standard observer and the lights it may see by, all on one ascending wavelength grid of constant step. Plain data. */
export interface Observer {
  readonly wavelengthsNm: readonly number[]
  readonly xBar: readonly number[]
  readonly yBar: readonly number[]
  readonly zBar: readonly number[]
  /** Relative spectral power by light: "a", "d65", "led_b3" … */
  readonly lights: Readonly<Record<string, readonly number[]>>
  readonly source: Source
}

/** Light columns of the table begin so; what follows is the light's name. */
const LIGHT_COLUMN = 'spd_'

/**
 * The observer of a table with the columns wavelength_nm, xbar, ybar, zbar and one `spd_NAME` a light
 * (`data/tables/cie1931_2deg.csv`). A hole or a grid of unequal steps is a fault of the table, hence of ours.
 */
export function readObserver(rows: Rows): Observer {
  const column = (name: string): readonly number[] =>
    rows.map((row) => {
      const value = Number(row[name] ?? Number.NaN)
      invariant(Number.isFinite(value), `observer table, column ${name}: not a number at ${row.wavelength_nm ?? '?'} nm`)
      return value
    })
  const first = rows[0]
  invariant(first !== undefined && rows.length > 2, 'observer table is empty')
  const wavelengthsNm = column('wavelength_nm')
  const step = wavelengthsNm[1]! - wavelengthsNm[0]!
  invariant(
    step > 0 && wavelengthsNm.every((nm, i) => Math.abs(nm - wavelengthsNm[0]! - i * step) < 1e-9),
    'observer table: wavelengths must ascend in equal steps',
  )
  const names = Object.keys(first).filter((name) => name.startsWith(LIGHT_COLUMN))
  return {
    wavelengthsNm,
    xBar: column('xbar'),
    yBar: column('ybar'),
    zBar: column('zbar'),
    lights: Object.fromEntries(names.map((name) => [name.slice(LIGHT_COLUMN.length), column(name)])),
    source: { source: first.source ?? '', seen: seenFrom(first.read_or_memory ?? '') },
  }
}

/**
 * Tristimulus values of the light behind a clear filter, Y = 1 for the bare light:
 * X = k Σ S x̄ τ, k = 1 / Σ S ȳ, summed over the table's grid (CIE 15, summation at 5 nm, no bandpass correction).
 * `transmittance` is one number a wavelength, 0..1; absent: the bare light, its white point.
 */
export function tristimulus(observer: Observer, light: string, transmittance?: ArrayLike<number>): Xyz {
  const power = observer.lights[light]
  invariant(power !== undefined, `no light called ${light}`)
  invariant(transmittance === undefined || transmittance.length === power.length, 'one transmittance a wavelength')
  let x = 0
  let y = 0
  let z = 0
  let bare = 0
  for (let i = 0; i < power.length; i++) {
    const seen = power[i]! * (transmittance?.[i] ?? 1)
    x += seen * observer.xBar[i]!
    y += seen * observer.yBar[i]!
    z += seen * observer.zBar[i]!
    bare += power[i]! * observer.yBar[i]!
  }
  return [x / bare, y / bare, z / bare]
}

/** Chromaticity x, y of tristimulus values; equal-energy white for black, where it is not defined. */
export function chromaticity([x, y, z]: Xyz): readonly [x: number, y: number] {
  const sum = x + y + z
  return sum > 0 ? [x / sum, y / sum] : [1 / 3, 1 / 3]
}
