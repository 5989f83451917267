/**
 * The chemistry under a clearing plan against the outside: carbonate and pH closed and open to air, titrations of polyprotic
 * acids by closed forms, gas volumes, solubility products, residual metals, what thiosulfate and sulfite take. All through public
 * functions.
 */
import type { Seen } from '@beakertide/basis/sources'
import { gasVolumeL } from '@beakertide/core/cautions'
import {
  baseNeeded,
  react,
  toMasters,
  treat,
  type TreatRequest,
  withHalomalonates,
  WASTE_CONSTANTS,
  REDUCTANTS,
  type ReductantFamily,
} from '@beakertide/core/clearing'
import { settle, type SettleOptions } from '@beakertide/core/mixture'
import { facts } from '@beakertide/data'
import { found, ledger, valueOf } from './ledger.ts'

const { check } = ledger('clearing-chemistry')
const equilibria = facts.equilibria()
const clearing = facts.clearing()
const extended = withHalomalonates(equilibria)
const ROOM_K = 298.15
const AIR: SettleOptions = { openGasesAtm: { 'CO2(g)': 0.00042 } }

const settled = (amountsMol: Record<string, number>, options: SettleOptions = {}, volumeL = 1) =>
  valueOf(settle({ volumeL, amountsMol }, ROOM_K, equilibria, options))
const pHOf = (amountsMol: Record<string, number>, options: SettleOptions = {}): number => settled(amountsMol, options).pH

interface Row {
  readonly name: string
  readonly ours: () => number
  readonly theirs: number
  readonly unit: string
  readonly within: number
  readonly because: string
  readonly source: string
  readonly seen: Seen
  readonly ourFault?: string
}
const rows: Row[] = []
const add = (
  name: string,
  ours: () => number,
  theirs: number,
  unit: string,
  within: number,
  because: string,
  source: string,
  seen: Seen,
  ourFault?: string,
): void => {
  rows.push({ name, ours, theirs, unit, within, because, source, seen, ...(ourFault === undefined ? {} : { ourFault }) })
}

// Carbonate and pH
const stumm = 'textbook values of natural-water chemistry (Stumm & Morgan, Aquatic Chemistry, carbonate systems)'
add(
  'pure water in equilibrium with air of 420 ppm carbon dioxide',
  () => pHOf({}, AIR),
  5.61,
  'pH',
  0.02,
  'second printed digit; closed form sqrt(Ka1 KH p) gives 5.61',
  stumm,
  'memory',
)
add(
  'the same by its closed form, pKa1 6.352 and KH 0.0339',
  () => pHOf({}, AIR),
  -Math.log10(Math.sqrt(10 ** -6.352 * 0.0339 * 0.00042)),
  'pH',
  0.01,
  'activity of a 2.4 micromolar liquid and Henry constants of two compilations',
  'closed form: [H+]^2 = Ka1 KH p, carbonate and hydroxide neglected',
  'computed',
)
/** Activity coefficient of a charge by Davies at 25 degC (A 0.509). */
const davies = (charge: number, strength: number): number =>
  10 ** (-0.509 * charge * charge * (Math.sqrt(strength) / (1 + Math.sqrt(strength)) - 0.3 * strength))
const textbook: SettleOptions = { gases: 'stay', activity: 'none', constants: { water: -14, 'carbonic-2': -10.33, 'carbonic-1': -6.35 } }
add(
  '0.1 mol/L sodium carbonate, concentrations for activities as textbooks do',
  () => pHOf({ 'Na+': 0.2, 'CO3^2-': 0.1 }, { ...textbook, constants: { ...textbook.constants, 'carbonic-2': Math.log10(5.6e-11) } }),
  11.6,
  'pH',
  0.05,
  'printed in tenths, with the second constant of older books (5.6e-11)',
  'textbook and reagent tables: 0.1 mol/L sodium carbonate pH 11.6',
  'memory',
)
add(
  '0.1 mol/L sodium carbonate with activities, which lower it',
  () => pHOf({ 'Na+': 0.2, 'CO3^2-': 0.1 }, { gases: 'stay' }),
  (() => {
    const kb = ((1e-14 / 10 ** -10.33) * davies(2, 0.3)) / davies(1, 0.3) ** 2
    const oh = (-kb + Math.sqrt(kb * kb + 4 * kb * 0.1)) / 2
    return 14 + Math.log10(oh * davies(1, 0.3))
  })(),
  'pH',
  0.02,
  'ionic strength 0.30 taken as fixed; constants rounded',
  'closed form of a weak base with Davies coefficients at 0.3 mol/L',
  'computed',
)
add(
  '0.1 mol/L sodium carbonate without activities, pKa2 10.33: sqrt(Kw/Ka2 c)',
  () =>
    pHOf(
      { 'Na+': 0.2, 'CO3^2-': 0.1 },
      { gases: 'stay', activity: 'none', constants: { water: -14, 'carbonic-2': -10.33, 'carbonic-1': -6.35 } },
    ),
  (() => {
    const kb = 1e-14 / 10 ** -10.33
    const oh = (-kb + Math.sqrt(kb * kb + 4 * kb * 0.1)) / 2
    return 14 + Math.log10(oh)
  })(),
  'pH',
  0.005,
  'the closed form leaves the second step out',
  'closed form of a weak base',
  'computed',
)
add(
  '0.1 mol/L sodium hydrogencarbonate, concentrations for activities as textbooks do',
  () => pHOf({ 'Na+': 0.1, 'HCO3-': 0.1 }, textbook),
  8.3,
  'pH',
  0.05,
  'printed in tenths; (pKa1 + pKa2)/2 = 8.34',
  'textbook and reagent tables: sodium hydrogencarbonate pH 8.3',
  'memory',
)
add(
  '0.1 mol/L sodium hydrogencarbonate with activities, which lower it',
  () => pHOf({ 'Na+': 0.1, 'HCO3-': 0.1 }, { gases: 'stay' }),
  (6.352 + 10.329 + Math.log10(davies(2, 0.1))) / 2,
  'pH',
  0.02,
  'an ampholyte at its own pH; ionic strength 0.10 taken as fixed',
  'closed form: a(H+)^2 = Ka1 Ka2 / gamma(CO3--)',
  'computed',
)
add(
  '1 mmol/L sodium hydrogencarbonate open to air of 420 ppm, closed form',
  () => pHOf({ 'Na+': 0.001, 'HCO3-': 0.001 }, AIR),
  (() => {
    // alkalinity = [HCO3-] + 2 [CO3--] + [OH-] = 1e-3 with [H2CO3*] = KH p; constants at I = 0 with Davies at I = 1e-3
    const gamma = 10 ** (-0.509 * (Math.sqrt(0.001) / (1 + Math.sqrt(0.001)) - 0.3 * 0.001))
    const [k1, k2, kw, co2] = [10 ** -6.352, 10 ** -10.329, 10 ** -13.995, 0.0339 * 0.00042]
    let [low, high] = [6, 10]
    for (let i = 0; i < 60; i++) {
      const pH = (low + high) / 2
      const h = 10 ** -pH
      const hco3 = (k1 * co2) / (h * gamma)
      const co3 = (k2 * k1 * co2) / (h * h * gamma ** 4)
      const oh = kw / (h * gamma)
      if (hco3 + 2 * co3 + oh > 0.001) high = pH
      else low = pH
    }
    return (low + high) / 2
  })(),
  'pH',
  0.01,
  'Henry constants of two compilations',
  'closed form: alkalinity balance of an open carbonate system, one unknown, by bisection',
  'computed',
)
add(
  'carbon dioxide dissolved at 1 atm and 25 degC',
  () => settled({}, { openGasesAtm: { 'CO2(g)': 1 } }).concentrationsMolPerL['CO2']!,
  0.034,
  'mol/L',
  0.001,
  'printed to two digits',
  'textbook Henry constant of carbon dioxide, 0.034 mol/(L atm)',
  'memory',
)
add(
  'pH of water saturated with carbon dioxide at 1 atm',
  () => pHOf({}, { openGasesAtm: { 'CO2(g)': 1 } }),
  3.92,
  'pH',
  0.03,
  'soda water; printed 3.9',
  'closed form sqrt(Ka1 KH) with pKa1 6.352, KH 0.0339',
  'computed',
)

// Titrations of polyprotic acids by closed forms: without activities, constants of the closed form
/** Strong base a mole of acid at a pH: mean charge plus what water takes, (OH- less H+)/c. */
const titrated = (pKas: readonly number[], pH: number, molPerL: number): number => {
  const h = 10 ** -pH
  let term = 1
  let sum = 1
  let charge = 0
  pKas.forEach((pKa, i) => {
    term *= 10 ** -pKa / h
    sum += term
    charge += (i + 1) * term
  })
  return charge / sum + (1e-14 / h - h) / molPerL
}
const acids: readonly (readonly [string, string, readonly number[], readonly string[], readonly number[]])[] = [
  ['malonic acid', 'MA', [2.85, 5.7], ['malonic-1', 'malonic-2'], [2.85, 4, 5.7, 8]],
  ['citric acid', 'H3Cit', [3.13, 4.76, 6.4], ['citric-1', 'citric-2', 'citric-3'], [3.13, 4.76, 6.4, 8]],
  ['phosphoric acid', 'H3PO4', [2.15, 7.2, 12.35], ['phosphoric-1', 'phosphoric-2', 'phosphoric-3'], [2.15, 4.68, 7.2, 9.78]],
  ['oxalic acid', 'H2C2O4', [1.25, 4.27], ['oxalic-1', 'oxalic-2'], [2, 4.27, 7]],
]
for (const [name, species, pKas, ids, points] of acids) {
  for (const pH of points) {
    add(
      `${name} 0.05 mol/L: base to pH ${pH}`,
      () => {
        const constants = { water: -14, ...Object.fromEntries(ids.map((id, i) => [id, -pKas[i]!])) }
        const acid = found(settled({ [species]: 0.05 }, { pH, activity: 'none', constants, solids: 'none' }).acidAddedMol, 'acid')
        return -acid / 0.05
      },
      titrated(pKas, pH, 0.05),
      'mol/mol',
      1e-6,
      'the same constants: rounding only',
      'closed form: mean charge of a polyprotic acid and the charge balance',
      'computed',
    )
  }
}
add(
  'base that 0.1 mol malonic acid takes to pH 8 in a plan, activities counted',
  () => found(baseNeeded(toMasters({ MA: 0.1 }, extended), 1, 8, ROOM_K, extended, clearing), 'base'),
  titrated([2.85, 5.7], 8, 0.1) * 0.1,
  'mol',
  0.001,
  'at pH 8 both protons are gone with and without activities',
  'closed form; "both count" in data/hazards/cleanup_worked_examples.csv W7',
  'computed',
)

// Gas
add(
  'carbon dioxide of 1 mol hydrogencarbonate at 20 degC',
  () => gasVolumeL(1, 293.15),
  24.06,
  'L',
  0.02,
  'last printed digit',
  'ideal gas, 1 atm: 0.082057 x 293.15',
  'computed',
)
add(
  'oxygen of 1 mol peroxide at 20 degC',
  () => gasVolumeL(0.5, 293.15),
  12.03,
  'L',
  0.01,
  'last printed digit',
  'ideal gas; "12.0 L" in data/hazards/cleanup_reactions.csv HP-dec',
  'computed',
)
add(
  'carbon dioxide of 1 mol at 0 degC',
  () => gasVolumeL(1, 273.15),
  22.41,
  'L',
  0.01,
  'molar volume',
  'molar volume of an ideal gas at 0 degC and 1 atm',
  'memory',
)

// Solids and residual metals. A book knows neither hydrolysis nor ion pairs: they are made negligible.
const bookless = {
  'mn-carbonate': -20,
  'mn-hydrogencarbonate': -20,
  'mn2-hydrolysis': -30,
  'cu2-hydrolysis': -30,
  'cu-carbonate-1': -20,
  'cu-carbonate-2': -20,
}
const overSolid = (solid: string, ion: string, constants: Record<string, number>): number =>
  valueOf(
    settle({ volumeL: 1, amountsMol: {}, solidsMol: { [solid]: 0.01 } }, ROOM_K, equilibria, {
      activity: 'none',
      constants: { water: -14, ...constants },
    }),
  ).concentrationsMolPerL[ion]!
add(
  'silver over its chloride in pure water, Ksp 1.6e-10',
  () => overSolid('AgCl(s)', 'Ag+', { 'solid-agcl': Math.log10(1.6e-10), 'ag-chloride-1': -20, 'ag-chloride-2': -20 }),
  1.3e-5,
  'mol/L',
  0.05e-5,
  'two printed digits (1.26e-5)',
  'OpenStax Chemistry 2e, section "Precipitation and Dissolution": AgCl, Ksp 1.6e-10',
  'memory',
)
add(
  'calcium over its hydroxide, Ksp 1.3e-6',
  () => overSolid('Ca(OH)2(s)', 'Ca2+', { 'solid-ca-hydroxide': Math.log10(1.3e-6), 'ca-hydroxide-1': -20 }),
  (1.3e-6 / 4) ** (1 / 3),
  'mol/L',
  7e-5,
  'all 0.01 mol dissolves or the closed form holds',
  'OpenStax Chemistry 2e, section "Precipitation and Dissolution": Ca(OH)2, closed form (Ksp/4)^(1/3); read constant, arithmetic',
  'memory',
)
add(
  'manganese at pH 9 over fresh carbonate with 0.0200 mol/L carbonate left, no ion pairs: closed form',
  () => {
    const e = settled(
      { 'Mn2+': 0.01, 'CO3^2-': 0.03 },
      {
        pH: 9,
        gases: 'stay',
        activity: 'none',
        constants: { water: -14, ...bookless, ...WASTE_CONSTANTS, 'carbonic-1': -6.35, 'carbonic-2': -10.33 },
      },
    )
    return e.concentrationsMolPerL['Mn2+']! * 54.938 * 1000
  },
  (() => {
    const h = 1e-9
    const alpha2 = (10 ** -6.35 * 10 ** -10.33) / (h * h + 10 ** -6.35 * h + 10 ** -6.35 * 10 ** -10.33)
    return (10 ** -10.06 / (0.02 * alpha2)) * 54.938 * 1000
  })(),
  'mg/L',
  0.001,
  'what is left of carbonate differs by the dissolved manganese',
  'closed form Ksp/(c alpha2), log Ksp -10.06 (OpenStax appendix, in tables/equilibria)',
  'computed',
)
const tables = facts.rows('hazards/metal_precipitation')
for (const [metal, pH] of [
  ['Cu', '8.5'],
  ['Co', '9.5'],
  ['Mn', '9'],
] as const) {
  const row = tables.find((r) => r['metal'] === metal && r['pH'] === pH)
  add(
    `${metal} left at pH ${pH} with 0.02 mol/L carbonate against the table of the cleanup notes`,
    () => {
      const e = settled(
        { [`${metal}2+`]: 0.01, 'CO3^2-': 0.01 * (metal === 'Cu' ? 0.5 : 1) + 0.02, 'Na+': 0.06, 'Cl-': 0.06 },
        {
          pH: Number(pH),
          gases: 'stay',
          constants: metal === 'Mn' ? { 'solid-mnco3': -10.5 } : metal === 'Cu' ? { 'solid-malachite': -33.2 } : {},
        },
      )
      const all = Object.entries(e.concentrationsMolPerL).reduce((sum, [id, c]) => (id.startsWith(metal) ? sum + c : sum), 0)
      return Math.log10(all * (metal === 'Mn' ? 54.938 : metal === 'Cu' ? 63.546 : 58.933) * 1000)
    },
    Math.log10(Number(row?.['dissolved_mg_per_L_carbonate_0.02_M'])),
    'lg mg/L',
    0.3,
    'a factor of two: other ion pairs and hydrolyses are in that table',
    'data/hazards/metal_precipitation.csv (equilibrium, other constants, ionic strength 0.1)',
    'memory',
    metal === 'Co'
      ? 'the list of equilibria holds neither hydrolysis nor carbonate ion pairs of cobalt, which hold most of what is dissolved there: a plan takes the larger of list and table'
      : undefined,
  )
}

// What a reductant takes
const world = { clearing, equilibria: extended, enthalpyOf: null }
const perOxidant = (family: ReductantFamily, oxidant: string, pH: number, bound: 'usual' | 'other' = 'usual'): number =>
  react(toMasters({ [oxidant]: 1 }, extended), family, pH, bound, 'as needed', world).takenMol
const cleanup = 'data/hazards/cleanup_reactions.csv; cleanup notes, sections 1 and 2'
const needs: readonly (readonly [string, ReductantFamily, string, number, 'usual' | 'other', number])[] = [
  ['thiosulfate an iodine at pH 5', 'thiosulfate', 'I2', 5, 'usual', 2],
  ['thiosulfate an iodate in acid', 'thiosulfate', 'IO3-', 2, 'usual', 6],
  ['thiosulfate an iodate at pH 5', 'thiosulfate', 'IO3-', 5, 'usual', 0],
  ['thiosulfate a peroxide in weak acid', 'thiosulfate', 'H2O2', 4.5, 'usual', 2],
  ['thiosulfate a peroxide near neutral', 'thiosulfate', 'H2O2', 7, 'usual', 0.5],
  ['thiosulfate a peroxide, excess peroxide in alkali', 'thiosulfate', 'H2O2', 9, 'usual', 0.25],
  ['thiosulfate a hypochlorite in alkali (OCl-TS)', 'thiosulfate', 'ClO-', 11, 'usual', 0.25],
  ['hydrogensulfite an iodine', 'sulfite', 'I2', 4.5, 'usual', 1],
  ['hydrogensulfite an iodate', 'sulfite', 'IO3-', 4.5, 'usual', 3],
  ['hydrogensulfite a bromate', 'sulfite', 'BrO3-', 4.5, 'usual', 3],
  ['hydrogensulfite a permanganate', 'sulfite', 'MnO4-', 1, 'usual', 2.5],
  ['sulfite a chlorite', 'sulfite', 'ClO2-', 7, 'usual', 2],
  ['ascorbic acid an iodate', 'ascorbic', 'IO3-', 2, 'usual', 3],
  ['ascorbic acid a peroxide', 'ascorbic', 'H2O2', 4.5, 'usual', 1],
  ['oxalic acid a permanganate', 'oxalate', 'MnO4-', 1, 'usual', 2.5],
]
for (const [name, family, oxidant, pH, bound, theirs] of needs) {
  add(name, () => perOxidant(family, oxidant, pH, bound), theirs, 'mol/mol', 1e-9, 'stoichiometry', cleanup, 'memory')
}
/** Heat of a mole of peroxide met at a held pH, from the treatment, kJ. */
const treated = (id: string, volumeL: number) => {
  const request: TreatRequest = {
    case: { name: 'x', amounts: { H2O2: 0.1 * volumeL }, volumeL, capacityKJPerK: 4.18 * 0.997 * volumeL },
    reductant: found(
      REDUCTANTS.find((r) => r.id === id),
      id,
    ),
    reductantMolPerL: 1e6,
    bound: 'usual',
    dilution: 1,
    firstPH: null,
    neutralPH: 8,
    alkaliToPH: 7.5,
    neutralWithin: 1e-3,
    metalPH: null,
    lye: false,
    backPH: 7.5,
  }
  return found(
    treat(request, { clearing, equilibria, enthalpyOf: null, temperatureK: ROOM_K }).stages.find((s) => s.name === 'reduce'),
    'step',
  )
}
add(
  'heat of a mole of peroxide with sulfite, by the whole step',
  () => treated('sulfite', 1).heatKJ / 0.1,
  368.4,
  'kJ',
  6,
  'two compilations differ by 5.6 kJ/mol in the deprotonation of hydrogensulfite (remark of sulfurous-2 in equilibrium_reactions)',
  'data/hazards/cleanup_reactions.csv HP-sulfite (NBS 1982)',
  'memory',
)
add(
  'rise in ten litres as in one',
  () => treated('sulfite', 10).riseK,
  8.84,
  'K',
  0.15,
  '0.1 mol/L x 368.4 kJ / 4.167 kJ/(L K); the same 5.6 kJ/mol',
  'data/hazards/cleanup_reactions.csv HP-sulfite; arithmetic',
  'computed',
)

for (const { name, ...row } of rows) check(name, row)
