/** Water itself: ion product, density, vapour pressure, heat capacity, slope of Debye and Hueckel, against printed tables. */
import { waterDensity, waterHeatCapacity, waterVapourPressurePa } from '@beakertide/core/matter'
import { davies, log10KAt, settle } from '@beakertide/core/mixture'
import { facts } from '@beakertide/data'
import { found, ledger, valueOf } from './ledger.ts'

const { check } = ledger('water')
const matter = facts.matter()
const equilibria = facts.equilibria()
const water = equilibria.reactions.find((r) => r.id === 'water')

// Harned and Owen, The Physical Chemistry of Electrolytic Solutions: cells without liquid junction; independent of IAPWS.
for (const [celsius, pKw] of [
  [0, 14.944],
  [5, 14.734],
  [10, 14.535],
  [15, 14.346],
  [20, 14.167],
  [25, 13.997],
  [30, 13.833],
  [35, 13.68],
  [40, 13.535],
  [45, 13.396],
  [50, 13.262],
] as const) {
  check(`pKw at ${celsius} degC, cells`, {
    source: 'Harned & Owen, The Physical Chemistry of Electrolytic Solutions, 3rd ed. (1958), table of the ion product of water',
    seen: 'memory',
    ours: () => -log10KAt(found(water, 'reaction of water'), celsius + 273.15),
    theirs: pKw,
    unit: '1',
    within: 0.008,
    because: 'IAPWS and the cells differ by 0.002 to 0.004',
  })
}
for (const [celsius, pKw] of [
  [0, 14.95],
  [25, 13.995],
  [50, 13.26],
  [75, 12.7],
  [100, 12.25],
] as const) {
  check(`pKw at ${celsius} degC, IAPWS`, {
    source: 'IAPWS R11 (Bandura & Lvov, J. Phys. Chem. Ref. Data 35, 15 (2006)), table of pKw at saturation',
    seen: 'memory',
    ours: () => -log10KAt(found(water, 'reaction of water'), celsius + 273.15),
    theirs: pKw,
    unit: '1',
    within: celsius > 60 ? 0.02 : 0.008,
    because: 'printed to 0.01; above 50 degC our table has few rows',
  })
}
check('pH of pure water at 25 degC', {
  source: 'half of pKw 13.995 (IAPWS R11)',
  seen: 'computed',
  ours: () => valueOf(settle({ volumeL: 1, amountsMol: {} }, 298.15, equilibria)).pH,
  theirs: 6.998,
  unit: '1',
  within: 0.0015,
  because: 'our table has 13.994; the printed value is 13.995',
})

for (const [celsius, density] of [
  [0, 0.99984],
  [4, 0.99997],
  [10, 0.9997],
  [15, 0.9991],
  [20, 0.99821],
  [25, 0.99705],
  [30, 0.99565],
  [40, 0.99222],
  [50, 0.98804],
  [60, 0.9832],
  [80, 0.9718],
  [95, 0.96189],
] as const) {
  check(`density at ${celsius} degC`, {
    source: 'handbook table of the density of water at 1 atm (CRC type, after Kell and CIPM)',
    seen: 'memory',
    ours: () => waterDensity(celsius, matter),
    theirs: density,
    unit: 'g/mL',
    within: 2e-5,
    because: 'printed to five decimals',
  })
}
for (const [celsius, kPa] of [
  [10, 1.2282],
  [20, 2.3393],
  [25, 3.1699],
  [30, 4.247],
  [40, 7.3849],
  [50, 12.352],
  [80, 47.414],
  [100, 101.42],
] as const) {
  check(`vapour pressure at ${celsius} degC`, {
    source: 'steam table at saturation (IAPWS-95, Wagner & Pruss)',
    seen: 'memory',
    ours: () => waterVapourPressurePa(celsius, matter) / 1000,
    theirs: kPa,
    unit: 'kPa',
    within: 5e-4,
    relative: true,
    because: 'printed to four or five digits',
  })
}
for (const [celsius, cp] of [
  [10, 4.1955],
  [25, 4.1816],
  [50, 4.1815],
  [80, 4.1969],
] as const) {
  check(`heat capacity at ${celsius} degC`, {
    source: 'handbook table of the specific heat capacity of water at 1 atm (CRC type)',
    seen: 'memory',
    ours: () => waterHeatCapacity(celsius, matter),
    theirs: cp,
    unit: 'J/(g K)',
    within: 0.002,
    because: 'tables differ in the third decimal',
  })
}

// Mean activity coefficients of strong electrolytes; log10 gamma = |z+ z-| times that of a singly charged ion.
for (const [salt, charges, strength, gamma, within, because] of [
  ['HCl 0.01 mol/kg', 1, 0.01, 0.905, 0.01, 'Davies is good to 2 % there'],
  ['HCl 0.1 mol/kg', 1, 0.1, 0.796, 0.03, 'Davies is good to 3 % there'],
  ['NaCl 0.1 mol/kg', 1, 0.1, 0.778, 0.02, 'Davies is good to 3 % there'],
  ['KCl 0.1 mol/kg', 1, 0.1, 0.77, 0.02, 'Davies is good to 3 % there'],
  ['NaCl 0.5 mol/kg', 1, 0.5, 0.681, 0.06, 'limit of Davies: it gives one value for all 1:1 salts, which differ by 0.65 to 0.76'],
  ['K2SO4 0.01 mol/kg', 2, 0.03, 0.715, 0.03, 'Davies is good to 4 % there'],
  ['CaCl2 0.01 mol/kg', 2, 0.03, 0.731, 0.03, 'Davies is good to 4 % there'],
] as const) {
  check(`mean activity coefficient, ${salt}`, {
    source: 'Robinson & Stokes, Electrolyte Solutions, tables of activity coefficients at 25 degC',
    seen: 'memory',
    ours: () => 10 ** (charges * davies(strength, 298.15)),
    theirs: gamma,
    unit: '1',
    within,
    because,
  })
}
