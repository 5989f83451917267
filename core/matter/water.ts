import { invariant } from '@beakertide/basis/problems'
import type { Rows } from '@beakertide/basis/sources'
import { ZERO_CELSIUS_K } from '@beakertide/basis/units'
import { along, curveThrough } from './curve.ts'
import type { MatterFacts, WaterCurve, WaterQuantity, WaterTables } from './matter-facts.ts'
import { cell, numberCell, sourceOf } from './table-cells.ts'

/** Reads water_properties.csv. */
export function readWater(rows: Rows): WaterTables {
  const curveOf = (quantity: WaterQuantity): WaterCurve => {
    const found = rows.filter((row) => cell(row, 'quantity') === quantity && cell(row, 'species') === 'water')
    const first = found[0]
    invariant(first !== undefined, `water_properties.csv lacks "${quantity}"`)
    const points = found.map((row): [number, number] => {
      const celsius = numberCell(row, 'temperature_c')
      const value = numberCell(row, 'value')
      // ln p against 1/T is nearly straight (Clausius-Clapeyron), so a coarse table interpolates well.
      return quantity === 'vapour pressure' ? [1 / (celsius + ZERO_CELSIUS_K), Math.log(value)] : [celsius, value]
    })
    return { curve: curveThrough(points), unit: cell(first, 'unit'), ...sourceOf(first) }
  }
  return {
    density: curveOf('density'),
    'specific heat capacity': curveOf('specific heat capacity'),
    'vapour pressure': curveOf('vapour pressure'),
    'Debye-Huckel A (log10, molal)': curveOf('Debye-Huckel A (log10, molal)'),
  }
}

/** Table value at a temperature; outside the table the nearest end (0 to 100 degC for density, heat capacity and vapour pressure). */
function at(water: WaterCurve, x: number): number {
  const { x: xs } = water.curve
  return along(water.curve, Math.min(Math.max(x, xs[0]!), xs.at(-1)!))
}

/** Density of air-free water, g/mL, 0 to 99.9 degC (IAPWS-IF97 table); the end value outside. */
export function waterDensity(celsius: number, facts: Pick<MatterFacts, 'water'>): number {
  return at(facts.water.density, celsius)
}

/** Specific heat capacity of water, J/(g K), 0 to 99.9 degC; the end value outside. */
export function waterHeatCapacity(celsius: number, facts: Pick<MatterFacts, 'water'>): number {
  return at(facts.water['specific heat capacity'], celsius)
}

/** Vapour pressure of water, Pa, 0.01 to 100 degC (Wagner & Pruss table); the end value outside. */
export function waterVapourPressurePa(celsius: number, facts: Pick<MatterFacts, 'water'>): number {
  const PASCAL_A_KILOPASCAL = 1000
  return Math.exp(at(facts.water['vapour pressure'], 1 / (celsius + ZERO_CELSIUS_K))) * PASCAL_A_KILOPASCAL
}

/** Debye-Hueckel slope A of log10 activity coefficients, (kg/mol)^0.5, 0 to 40 degC; the end value outside. */
export function debyeHueckelA(celsius: number, facts: Pick<MatterFacts, 'water'>): number {
  return at(facts.water['Debye-Huckel A (log10, molal)'], celsius)
}
