/**
 * The 44 worked examples of checks/outside/worked_examples.csv (answers, tolerances and sources stand there), each through
 * our own functions. Where an example prints more than one answer, each is a row.
 */
import { expect, it } from 'vitest'
import { gasVolumeL } from '@beakertide/core/cautions'
import { adiabaticRise } from '@beakertide/core/clearing'
import {
  amountAtEquivalence,
  electronsInAssay,
  PERMANGANATE_ELECTRONS,
  THIOSULFATE_ELECTRONS,
  titrantStrength,
  titrantVolumeL,
  volumesFromPeroxide,
} from '@beakertide/core/makeup'
import {
  findSubstance,
  heatOfSolution,
  integralHeatOfSulfuricAcid,
  molarMass,
  reactionEnthalpy,
  type Substance,
  waterVapourPressurePa,
} from '@beakertide/core/matter'
import { log10KAt, settle, type SettleOptions, type Totals } from '@beakertide/core/mixture'
import { absorbanceAt, gasVolumeL as gasOverWaterL } from '@beakertide/core/rehearsal'
import { seenFrom } from '@beakertide/basis/sources'
import { ATMOSPHERE_PA } from '@beakertide/basis/units'
import { facts } from '@beakertide/data'
import { found, ledger, valueOf } from './ledger.ts'
import { byMass, byVolume, inBottle, oneSolution, pure, quantity, strength, toStrength, volume } from './one-solution.ts'
import { outsideRows } from './outside.ts'

const { check } = ledger('worked-examples')
const matter = facts.matter()
const equilibria = facts.equilibria()
const room = 298.15
const log = Math.log10

const substance = (name: string): Substance => valueOf(findSubstance(name, undefined, matter))
const molar = (formula: string): number => valueOf(molarMass(formula, matter.weights)).value
/** mol of solute a kilogram of water, from the inventory of a made solution. */
function molality(made: ReturnType<typeof oneSolution>, ion: string, ionsAFormula: number): number {
  const amounts = made.solution.amountsMol
  return found(amounts[ion], ion) / ionsAFormula / ((found(amounts['H2O'], 'water') * molar('H2O')) / 1000)
}

/** As textbooks compute: concentrations for activities, the book's own constants, nothing that the book leaves out. */
const ideal = (constants: Record<string, number> = {}): SettleOptions => ({ activity: 'none', constants: { water: -14, ...constants } })
const settled = (amountsMol: Totals['amountsMol'], options: SettleOptions, more: Partial<Totals> = {}) =>
  valueOf(settle({ volumeL: 1, amountsMol, ...more }, room, equilibria, options))
const acidWithBase = (baseMl: number): number =>
  settled({ 'H+': 0.0025, 'Cl-': 0.0025, 'Na+': baseMl * 1e-4, 'OH-': baseMl * 1e-4 }, ideal(), { volumeL: (25 + baseMl) / 1000 }).pH
const manganeseOverCarbonate = (pH: number): number => {
  // Of 0.06 mol carbonate 0.05 falls with the manganese: 0.0100 mol/L is left.
  const constants = { 'solid-mnco3': log(2.24e-11), 'mn-carbonate': -20, 'mn-hydrogencarbonate': -20, 'mn2-hydrolysis': -30 }
  const { concentrationsMolPerL } = settled({ 'Mn2+': 0.05, 'CO3^2-': 0.06 }, { ...ideal(constants), pH, gases: 'stay' })
  return found(concentrationsMolPerL['Mn2+'], 'manganese')
}
const silverChloride = () =>
  settled(
    { 'Ag+': 1e-4, 'NO3-': 1e-4, 'Na+': 1e-4, 'Cl-': 1e-4 },
    { ...ideal({ 'solid-agcl': log(1.6e-10), 'ag-chloride-1': -20, 'ag-chloride-2': -20 }), solids: 'none' },
  )
const acetate = (sodiumHydroxideMol: number, volumeL: number): number =>
  settled(
    { CH3COOH: 0.1 * 0.1, 'CH3COO-': 0.1 * 0.1, 'Na+': 0.1 * 0.1 + sodiumHydroxideMol, 'OH-': sodiumHydroxideMol },
    ideal({ acetic: log(1.8e-5) }),
    { volumeL },
  ).pH
const pKw = (celsius: number): number =>
  -log10KAt(
    found(
      equilibria.reactions.find((r) => r.id === 'water'),
      'reaction of water',
    ),
    celsius + 273.15,
  )
const neutralisationKJ = (): number =>
  found(
    reactionEnthalpy(
      [
        { species: 'H+', coefficient: 1 },
        { species: 'OH-', coefficient: 1 },
      ],
      [{ species: 'H2O', coefficient: 1 }],
      matter,
    ),
    'enthalpy of neutralisation',
  ).value
const peroxideKJ = (): number =>
  found(
    reactionEnthalpy(
      [{ species: 'H2O2', coefficient: 1 }],
      [
        { species: 'H2O', coefficient: 1 },
        { species: 'O2(g)', coefficient: 0.5 },
      ],
      matter,
    ),
    'enthalpy of peroxide decomposition',
  ).value
const titratedPeroxide = (by: 'permanganate' | 'iodometric'): number =>
  by === 'permanganate'
    ? inBottle({
        substance: 'hydrogen peroxide',
        assay: {
          by,
          take: volume('10.00 mL'),
          dilutedTo: volume('250.0 mL'),
          aliquot: volume('25.00 mL'),
          titrant: strength('0.02000 mol/L'),
          used: volume('35.60 mL'),
        },
      })
    : inBottle({
        substance: 'hydrogen peroxide',
        assay: {
          by,
          take: volume('25.00 mL'),
          aliquot: volume('25.00 mL'),
          titrant: strength('0.1000 mol/L'),
          used: volume('18.40 mL'),
        },
      })
const density = (text: string) => quantity(text, 'density')

/** A further answer of the same example, or the same question asked of another of our functions. */
interface Also {
  readonly what: string
  readonly ours: () => number
  readonly theirs: number
  readonly unit: string
  readonly within: number
  readonly because?: string
}
interface Example {
  readonly ours: () => number
  /** When our function answers the question the other way round: what it gives, and what the example puts in. */
  readonly turned?: Omit<Also, 'ours'>
  readonly also?: readonly Also[]
}

const examples: Readonly<Record<string, Example>> = {
  // Copper(II) nitrate is not among the substances; a dilution does not ask which salt it is.
  W01: {
    ours: () => oneSolution({ substance: 'sodium chloride', strength: strength('5.00 mol/L') }, '1.80 L', byVolume('0.850 L')).molPerL,
  },
  W02: {
    ours: () =>
      found(
        oneSolution({ substance: 'KOH', strength: strength('1.59 mol/L') }, '5.00 L', toStrength('0.100 mol/L')).portion.volumeL,
        'volume',
      ),
  },
  W03: {
    ours: () => oneSolution({ substance: 'nitric acid', strength: strength('1.88 mol/L') }, '3.76 L', byVolume('0.250 L')).molPerL,
    turned: { what: 'strength when made up to 3.76 L', theirs: 0.125, unit: 'mol/L', within: 0.0005 },
  },
  W04: {
    ours: () =>
      oneSolution(
        { substance: 'hydrochloric acid', strength: strength('37.2 % w/w'), density: density('1.19 g/mL') },
        '0.500 L',
        byVolume('0.500 L'),
      ).portion.amountMol * molar('HCl'),
  },
  W05: { ours: () => inBottle({ substance: 'sulfuric acid', strength: strength('40.0 % w/w'), density: density('1.3057 g/mL') }) },
  W06: { ours: () => inBottle({ substance: 'sulfuric acid', strength: strength('96 % w/w'), density: density('1.84 g/mL') }) },
  W07: { ours: () => inBottle({ substance: 'ammonia solution', strength: strength('28 % w/w'), density: density('0.90 g/mL') }) },
  W08: {
    ours: () =>
      1000 *
      found(
        oneSolution({ substance: 'sulfuric acid', strength: strength('96 % w/w') }, '1.000 L', toStrength('0.500 mol/L')).portion.volumeL,
        'volume',
      ),
  },
  W09: { ours: () => oneSolution({ substance: 'CuSO4·5H2O', purity: pure }, '250 mL', toStrength('0.100 mol/L')).portion.massG },
  W10: {
    ours: () => oneSolution({ substance: 'sodium sulfate', hydrate: 'decahydrate', purity: pure }, '18.60 L', byMass('10.5 kg')).molPerL,
  },
  W11: {
    ours: () =>
      oneSolution({ substance: 'manganese(II) sulfate', hydrate: 'monohydrate', purity: pure }, '500 mL', toStrength('0.0200 mol/L'))
        .portion.massG,
    also: [
      {
        what: 'mass as tetrahydrate',
        ours: () =>
          oneSolution({ substance: 'manganese(II) sulfate', hydrate: 'tetrahydrate', purity: pure }, '500 mL', toStrength('0.0200 mol/L'))
            .portion.massG,
        theirs: 2.2305,
        unit: 'g',
        within: 0.001,
      },
    ],
  },
  W12: {
    ours: () =>
      oneSolution({ substance: 'KOH', purity: quantity('86.0 %', 'fraction') }, '1.00 L', toStrength('0.500 mol/L')).portion.massG,
  },
  W13: {
    // 0.710 kg in 10.0 kg water is a mass fraction of 0.0662932.
    ours: () =>
      molality(
        oneSolution({ substance: 'sodium carbonate', hydrate: 'anhydrous', purity: pure }, '1.00 L', toStrength('6.62932 % w/w')),
        'CO3^2-',
        1,
      ),
  },
  W14: {
    ours: () =>
      molality(
        oneSolution(
          { substance: 'sulfuric acid', strength: strength('50.0 % w/w'), density: density('1.3952 g/mL') },
          '100 mL',
          byVolume('100 mL'),
        ),
        'SO4^2-',
        1,
      ),
    also: [
      {
        what: 'molarity',
        ours: () => inBottle({ substance: 'sulfuric acid', strength: strength('50.0 % w/w') }),
        theirs: 7.113,
        unit: 'mol/L',
        within: 0.003,
        because: 'our own density table in place of the given density',
      },
    ],
  },
  W15: { ours: () => amountAtEquivalence(0.25 * 0.03523, 1, 1) / 0.05 },
  W16: { ours: () => 1000 * titrantVolumeL(2.5 / molar('NaHCO3'), 1, 0.6, 1) },
  W17: { ours: () => 1000 * titrantVolumeL(0.04388 * 0.3842, 2, 0.2089, 1) },
  W18: { ours: () => titratedPeroxide('permanganate') },
  W19: { ours: () => titratedPeroxide('iodometric') },
  W20: {
    ours: () =>
      1000 * titrantVolumeL((0.107 / molar('KIO3')) * 0.25, electronsInAssay(substance('KIO3'), 'iodometric'), 0.05, THIOSULFATE_ELECTRONS),
  },
  W21: {
    ours: () =>
      titrantStrength(
        0.25 / molar('Na2C2O4'),
        electronsInAssay(substance('sodium oxalate'), 'permanganate'),
        0.037,
        PERMANGANATE_ELECTRONS,
      ),
  },
  W22: { ours: () => gasVolumeL(1 / molar('NaHCO3'), 298.15) },
  W23: { ours: () => gasVolumeL(10 / molar('Na2CO3'), 293.15) },
  W24: {
    ours: () => gasOverWaterL((9.79 * 0.1) / 2, 298.15, ATMOSPHERE_PA),
    also: [{ what: '"volumes" of oxygen at 0 degC', ours: () => volumesFromPeroxide(9.79), theirs: 110, unit: '1', within: 0.5 }],
  },
  W25: {
    ours: () => {
      // Carbonate made the base of a very strong acid does not hydrolyse; the ion pairs are made negligible.
      const constants = { 'solid-mnco3': log(2.24e-11), 'carbonic-1': 30, 'carbonic-2': 30, 'mn-carbonate': -20, 'mn2-hydrolysis': -30 }
      return found(settled({}, ideal(constants), { solidsMol: { 'MnCO3(s)': 0.01 } }).concentrationsMolPerL['Mn2+'], 'manganese')
    },
  },
  W26: { ours: () => manganeseOverCarbonate(8) },
  W27: { ours: () => manganeseOverCarbonate(7) },
  W28: {
    ours: () => {
      const { concentrationsMolPerL } = settled({ 'Mn2+': 0.01 }, { ...ideal({ 'solid-mn-hydroxide': log(2e-13) }), pH: 10.52 })
      return found(concentrationsMolPerL['Mn2+'], 'manganese')
    },
    turned: {
      what: 'manganese over the hydroxide at pH 10.52',
      theirs: 1.8e-6,
      unit: 'mol/L',
      within: 0.17e-6,
      because: '0.02 in pH is 10 % in the metal',
    },
  },
  W29: {
    ours: () => adiabaticRise(2.89, 0.1 * 4.184),
    turned: { what: 'rise that 2.89 kJ gives 100 g of cp 4.184 J/(g K)', theirs: 6.9, unit: 'K', within: 0.05, because: 'printed digits' },
    also: [
      {
        what: 'rise from our enthalpy of neutralisation',
        ours: () => adiabaticRise(-neutralisationKJ() * 0.05, 0.1 * 4.184),
        theirs: 6.9,
        unit: 'K',
        within: 0.3,
        because: 'the example is a measurement at 0.5 mol/L, where neutralisation gives about 1 kJ/mol more than at infinite dilution',
      },
    ],
  },
  W30: { ours: () => adiabaticRise(-neutralisationKJ() * 0.05, 0.102 * 4.02) },
  W31: {
    ours: () => ((1000 * 3.21) / molar('NH4NO3')) * found(heatOfSolution(substance('ammonium nitrate'), matter), 'heat of solution').value,
    turned: {
      what: 'heat taken up, from our heat of solution',
      theirs: 1000,
      unit: 'J',
      within: 50,
      because: 'the source prints 1.0 kJ, two figures',
    },
    also: [
      {
        what: 'fall that 1.0 kJ gives the mixture',
        ours: () => adiabaticRise(1, 0.05321 * 4.18),
        theirs: 4.6,
        unit: 'K',
        within: 0.23,
        because: '1.0 kJ is printed to two figures: 5 %',
      },
    ],
  },
  W32: { ours: () => -integralHeatOfSulfuricAcid(100, matter).value },
  W33: {
    ours: () =>
      adiabaticRise(-0.5 * (integralHeatOfSulfuricAcid(108, matter).value - integralHeatOfSulfuricAcid(0.23, matter).value), 1.023 * 4.09),
  },
  W34: { ours: () => adiabaticRise(-peroxideKJ() * 0.882, 0.1 * 3.9) },
  W35: { ours: () => settled({ CH3COOH: 0.1 }, ideal({ acetic: log(1.8e-5) })).pH },
  W36: {
    ours: () =>
      found(
        settled({ CO2: 0.033 }, { ...ideal({ 'carbonic-1': log(4.3e-7) }), gases: 'stay' }).concentrationsMolPerL['H+'],
        'hydrogen ion',
      ),
  },
  // The book knows no sodium sulfate ion pair: its constant is made negligible.
  W37: { ours: () => settled({ 'Na+': 0.5, 'HSO4-': 0.5 }, ideal({ hydrogensulfate: log(0.012), 'na-sulfate': -20 })).pH },
  W38: {
    ours: () => acidWithBase(12.5),
    also: [
      { what: 'pH at 25.00 mL', ours: () => acidWithBase(25), theirs: 7.0, unit: '1', within: 0.005 },
      { what: 'pH at 37.50 mL', ours: () => acidWithBase(37.5), theirs: 12.3, unit: '1', within: 0.005 },
    ],
  },
  W39: {
    ours: () => acetate(0, 0.1),
    also: [{ what: 'pH after 1.0 mL of base', ours: () => acetate(1e-4, 0.101), theirs: 4.75, unit: '1', within: 0.01 }],
  },
  W40: {
    ours: () => {
      const { concentrationsMolPerL } = silverChloride()
      return found(concentrationsMolPerL['Ag+'], 'silver') * found(concentrationsMolPerL['Cl-'], 'chloride')
    },
    also: [
      {
        what: 'lg(ion product / Ksp), above 0: it falls',
        ours: () => found(silverChloride().saturationIndices['AgCl(s)'], 'saturation index'),
        theirs: 1.796,
        unit: '1',
        within: 0.001,
        because: 'closed form lg(1.0e-8 / 1.6e-10)',
      },
    ],
  },
  W41: {
    ours: () =>
      found(
        settled({ I2: 0.001, 'I-': 0.01, 'K+': 0.01 }, ideal({ triiodide: log(698), pentaiodide: -20 })).concentrationsMolPerL['I3-'],
        'triiodide',
      ),
  },
  W42: { ours: () => found(absorbanceAt(525, { 'MnO4-': 1e-4 }, 1, { 'MnO4-': 'MnO4-' }, facts.absorbers()), 'absorbance') },
  W43: {
    ours: () => pKw(20),
    also: [{ what: 'pKw at 37 degC', ours: () => pKw(37), theirs: 13.621, unit: '1', within: 0.005 }],
  },
  W44: {
    // The same gas dry and over water: its volumes are to each other as the pressures.
    ours: () => {
      const torr = ATMOSPHERE_PA / 760
      const pressure = 750 * torr
      return (750 * gasOverWaterL(1, 299.15, pressure)) / gasOverWaterL(1, 299.15, pressure, waterVapourPressurePa(26, matter))
    },
  },
}

const table = outsideRows('worked_examples')
it('every example of the table is worked here, and no other', () => {
  expect(Object.keys(examples).sort()).toEqual(table.map((row) => row['id']).sort())
  expect(table).toHaveLength(44)
})

for (const row of table) {
  const id = row['id'] ?? ''
  const example = examples[id]
  if (!example) continue
  const source = row['source'] ?? ''
  const seen = seenFrom(row['read_or_memory'] ?? '')
  const theirs = example.turned ?? {
    what: row['answer_quantity'] ?? '',
    theirs: Number(row['answer_value']),
    unit: row['unit'] ?? '',
    within: Number(row['tolerance']),
  }
  for (const one of [{ ...theirs, ours: example.ours }, ...(example.also ?? [])]) {
    check(`${id} ${row['topic'] ?? ''}: ${one.what}`, {
      source,
      seen,
      ours: one.ours,
      theirs: one.theirs,
      unit: one.unit,
      within: one.within,
      because: one.because ?? 'tolerance of the table: last printed digit and rounding of the inputs',
    })
  }
}
