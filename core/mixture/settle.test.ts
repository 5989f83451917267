import { rows } from '@beakertide/data'
import { expect, it } from 'vitest'
import { readEquilibriumFacts } from './reactions.ts'
import { settle } from './settle.ts'

const facts = readEquilibriumFacts({ reactions: rows('equilibrium_reactions'), equilibria: rows('tables/equilibria') })
const t = 298.15
it('try', () => {
  const show = (name: string, amountsMol: Record<string, number>, o = {}, T = t) => {
    const e = settle({ volumeL: 1, amountsMol }, T, facts, o)
    if (!e.ok) console.log(name, JSON.stringify(e.problems))
    else console.log(name, e.value.pH.toFixed(4), e.value.ionicStrengthMolPerL.toPrecision(4), e.value.residual.toExponential(1), e.value.iterations, JSON.stringify(e.value.solidsMol), JSON.stringify(e.value.gasesMol), e.value.acidAddedMol)
  }
  show('water', { H2O: 55 })
  show('HCl .1', { 'H+': 0.1, 'Cl-': 0.1 })
  show('NaOH .1', { 'OH-': 0.1, 'Na+': 0.1 })
  show('H2SO4 .05', { 'H+': 0.1, 'SO4^2-': 0.05 })
  show('H2SO4 1', { 'H+': 2, 'SO4^2-': 1 })
  show('phosphate', { 'Na+': 0.05, 'K+': 0.025, 'HPO4^2-': 0.025, 'H2PO4-': 0.025 })
  show('carb', { 'Na+': 0.075, 'HCO3-': 0.025, 'CO3^2-': 0.025 })
  show('air', {}, { openGasesAtm: { 'CO2(g)': 0.0004 } })
  show('MnCO3', { 'Mn2+': 0.05, 'Na+': 0.2, 'CO3^2-': 0.1, 'SO4^2-': 0.05 })
  show('MnCO3 pH8', { 'Mn2+': 0.05, 'CO3^2-': 0.06 }, { pH: 8 })
  show('soda+acid', { 'Na+': 0.2, 'CO3^2-': 0.1, 'H+': 0.3, 'Cl-': 0.3 })
  show('Cu', { 'Cu2+': 0.05, 'Na+': 0.2, 'CO3^2-': 0.1, 'SO4^2-': 0.05 })
  show('AgX', { 'Ag+': 0.1, 'NO3-': 0.1, 'K+': 0.15, 'Cl-': 0.05, 'Br-': 0.05, 'I-': 0.05 })
  show('CuNH3', { 'Cu2+': 0.05, 'SO4^2-': 0.05, NH3: 0.5 })
  show('I2', { I2: 0.001, 'I-': 0.01, 'K+': 0.01 })
  show('many', { 'Cu2+': 0.05, 'SO4^2-': 0.05, NH3: 0.5, 'Mn2+': 0.02, 'Ca2+': 0.01, 'Cl-': 0.06, 'K+': .3, 'IO3-': .1, 'H+': .1, 'PO4^3-': 0.05, 'C2O4^2-':0.025, 'Na+': .1, 'CO3^2-': .05 })
  expect(1).toBe(1)
})
