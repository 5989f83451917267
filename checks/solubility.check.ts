/** How much dissolves: curves of salts against handbook values, solubility products, and what they make of a bottom solid in pure water. */
import { dissolvesAbove, molarMass, solubilityAt } from '@beakertide/core/matter'
import { log10KAt, settle, type SettleOptions } from '@beakertide/core/mixture'
import { seenFrom } from '@beakertide/basis/sources'
import { facts } from '@beakertide/data'
import { found, ledger, valueOf } from './ledger.ts'
import { outsideRows } from './outside.ts'

const { check } = ledger('solubility')
const matter = facts.matter()
const equilibria = facts.equilibria()

for (const row of outsideRows('solubilities')) {
  const cell = (column: string): string => row[column] ?? ''
  check(`${cell('name')} at ${cell('celsius')} degC`, {
    source: cell('source'),
    seen: seenFrom(cell('seen')),
    ours: () => found(solubilityAt(cell('formula'), Number(cell('celsius')), matter), 'solubility').gPer100gWater,
    theirs: Number(cell('g_per_100g_water')),
    unit: 'g/100 g water',
    within: Number(cell('within')),
    because: cell('because'),
    ...(cell('doubt') === '' ? {} : { doubted: cell('doubt') }),
  })
}
check('potassium iodate, 12.6 g in 100 g water: dissolves above', {
  source: 'handbook solubility of potassium iodate: 12.6 g per 100 g water at 40 degC',
  seen: 'memory',
  ours: () => found(dissolvesAbove('KIO3', 12.6, matter), 'temperature'),
  theirs: 40,
  unit: 'degC',
  within: 1,
  because: 'handbooks differ by 0.2 g, which is 1 K',
})

for (const row of outsideRows('solubility_products')) {
  const cell = (column: string): string => row[column] ?? ''
  check(`Ksp of ${cell('formula')}`, {
    source: cell('source'),
    seen: seenFrom(cell('seen')),
    ours: () =>
      log10KAt(
        found(
          equilibria.reactions.find((r) => r.id === cell('reaction')),
          cell('reaction'),
        ),
        298.15,
      ),
    theirs: Math.log10(Number(cell('ksp'))),
    unit: 'lg Ksp',
    within: Number(cell('within_lg')),
    because: cell('because'),
    ...(cell('doubt') === '' ? {} : { doubted: cell('doubt') }),
  })
}

/** What stands dissolved of `ion` over the solid in a litre of pure water, mol/L, all its forms. */
function overSolid(solid: string, forms: readonly string[], options: SettleOptions = {}, celsius = 25, start: Record<string, number> = {}) {
  const settled = valueOf(
    settle({ volumeL: 1, amountsMol: start, solidsMol: { [solid]: 1 } }, celsius + 273.15, equilibria, { solids: [solid], ...options }),
  )
  return forms.reduce((sum, id) => sum + (settled.concentrationsMolPerL[id] ?? 0), 0)
}
const molar = (formula: string): number => valueOf(molarMass(formula, matter.weights)).value
const handbook = 'handbook solubility of a sparingly soluble salt in pure water'
for (const [name, ours, theirs, unit, within, because, source] of [
  [
    'silver chloride',
    () => 1000 * molar('AgCl') * overSolid('AgCl(s)', ['Ag+', 'AgCl', 'AgCl2-']),
    1.92,
    'mg/L',
    0.1,
    'printed as 1.9 to 1.93',
    handbook,
  ],
  ['barium sulfate', () => 1000 * molar('BaSO4') * overSolid('BaSO4(s)', ['Ba2+']), 2.45, 'mg/L', 0.15, 'printed as 2.4 to 2.5', handbook],
  [
    'gypsum, as calcium',
    () => 1000 * overSolid('CaSO4·2H2O(s)', ['Ca2+', 'CaSO4', 'CaOH+']),
    15.3,
    'mmol/L',
    1.2,
    'measured as 15.2 to 15.4; Davies at ionic strength 0.04 with doubly charged ions, and an ion pair known to 0.1 in lg K',
    'solubility of gypsum in water at 25 degC (Marshall & Slusher type measurement)',
  ],
  [
    'calcium hydroxide, as calcium',
    () => 1000 * overSolid('Ca(OH)2(s)', ['Ca2+', 'CaOH+']),
    20.3,
    'mmol/L',
    1.5,
    'the buffer standard saturated at 25 degC is 0.0203 mol/kg',
    'Bates, saturated calcium hydroxide',
  ],
  [
    'calcite in air with 420 ppm carbon dioxide, as calcium',
    () => 1000 * overSolid('CaCO3(s)', ['Ca2+', 'CaHCO3+', 'CaCO3'], { openGasesAtm: { 'CO2(g)': 0.00042 } }),
    0.52,
    'mmol/L',
    0.04,
    'printed as 0.50 mmol/L for 350 to 380 ppm; grows with the cube root of the carbon dioxide',
    'textbooks of water chemistry (Stumm & Morgan type)',
  ],
  [
    'iodine in water',
    () => 1000 * overSolid('I2(s)', ['I2', 'I3-'], { onRequest: [] }),
    1.33,
    'mmol/L',
    0.03,
    'printed as 1.32 to 1.34 (25 degC)',
    'solubility of iodine in water (Ramette type value)',
  ],
  [
    'iodine in 0.100 mol/L potassium iodide',
    () => {
      const settled = valueOf(
        settle({ volumeL: 1, amountsMol: { 'K+': 0.1, 'I-': 0.1 }, solidsMol: { 'I2(s)': 1 } }, 298.15, equilibria, { solids: ['I2(s)'] }),
      )
      return 1000 * (1 - found(settled.solidsMol['I2(s)'], 'solid iodine'))
    },
    51.35,
    'mmol/L',
    2.6,
    'one measurement; ours counts pentaiodide with a constant known to 0.2 in lg K',
    'Bray & MacKay, J. Am. Chem. Soc. 32, 914 (1910)',
  ],
] as const) {
  check(`over the solid: ${name}`, {
    source,
    seen: 'memory',
    ours,
    theirs,
    unit,
    within,
    because,
  })
}

for (const [name, gas, species, atm, celsius, theirs, unit, factor, within, because, source] of [
  ['carbon dioxide, 1 atm', 'CO2(g)', 'CO2', 1, 25, 33.9, 'mmol/L', 1000, 0.4, 'printed as 33.4 to 34', 'Henry constant of carbon dioxide'],
  [
    'carbon dioxide, 1 atm',
    'CO2(g)',
    'CO2',
    1,
    10,
    53.6,
    'mmol/L',
    1000,
    1.7,
    'printed as 53 to 54 (1.194 volumes at 10 degC); the IAPWS guideline that ours follows is a fit from 0 to 360 degC and lies 2 to 3 % under the measurements in the cold',
    'Bunsen coefficient of carbon dioxide',
  ],
  [
    'oxygen of air, 0.2029 atm',
    'O2(g)',
    'O2',
    0.2029,
    25,
    8.26,
    'mg/L',
    31998,
    0.12,
    'printed to 0.01; Henry constants differ by 1 %',
    'table of oxygen saturation of fresh water (Benson & Krause)',
  ],
  [
    'oxygen of air, 0.2048 atm',
    'O2(g)',
    'O2',
    0.2048,
    20,
    9.09,
    'mg/L',
    31998,
    0.13,
    'printed to 0.01; Henry constants differ by 1 %',
    'table of oxygen saturation of fresh water (Benson & Krause)',
  ],
  [
    'oxygen of air, 0.2069 atm',
    'O2(g)',
    'O2',
    0.2069,
    10,
    11.29,
    'mg/L',
    31998,
    0.17,
    'printed to 0.01; Henry constants differ by 1 %',
    'table of oxygen saturation of fresh water (Benson & Krause)',
  ],
] as const) {
  check(`gas in water: ${name}, ${celsius} degC`, {
    source,
    seen: 'memory',
    ours: () => {
      const settled = valueOf(settle({ volumeL: 1, amountsMol: {} }, celsius + 273.15, equilibria, { openGasesAtm: { [gas]: atm } }))
      return factor * found(settled.concentrationsMolPerL[species], species)
    },
    theirs,
    unit,
    within,
    because,
  })
}
