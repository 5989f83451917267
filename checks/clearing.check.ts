/**
 * The worked examples W1 to W19 of data/hazards/cleanup_worked_examples.csv through our clearing and cautions: hand-worked there from
 * remembered formation enthalpies and stoichiometry. Each answer is a row.
 */
import { expect, it } from 'vitest'
import { gasVolumeL, ppmInRoom } from '@beakertide/core/cautions'
import {
  adiabaticRise,
  type ClearingOptions,
  type ClearingPlan,
  closedBottleBar,
  combine,
  parseEquation,
  planClearing,
  reactionHeat,
  type ReductantChoice,
  type ReductantId,
  residualFloor,
} from '@beakertide/core/clearing'
import { molarMass } from '@beakertide/core/matter'
import type { Inventory } from '@beakertide/core/mixture'
import { seenFrom } from '@beakertide/basis/sources'
import { facts } from '@beakertide/data'
import { found, ledger, valueOf } from './ledger.ts'

const { check } = ledger('clearing')
const clearing = facts.clearing()
const hazards = facts.hazards()
/** The examples count 4.18 J/(g K) and 0.997 g/mL. */
const LITRE_KJ_PER_K = 4.18 * 0.997

const molar = (formula: string): number => valueOf(molarMass(formula, facts.matter().weights)).value
function plan(amountsMol: Record<string, number>, volumeL: number, options: ClearingOptions = {}): ClearingPlan {
  const left: Inventory = {
    vessel: 'jar',
    atS: 600,
    volumeL,
    massG: 997 * volumeL,
    temperatureK: 293.15,
    heatCapacityJPerK: 1000 * LITRE_KJ_PER_K * volumeL,
    amountsMol,
    solidsMol: {},
    gasesMol: {},
    relativeUncertainty: {},
  }
  return valueOf(
    planClearing({ finished: [left], stoppedEarly: [] }, { temperatureK: 293.15, volumeM3: 100 }, options, {
      clearing,
      hazards,
      equilibria: facts.equilibria(),
      matter: facts.matter(),
    }),
  )
}
const choice = (p: ClearingPlan, id: ReductantId): ReductantChoice =>
  found(
    p.reductants.find((r) => r.id === id),
    id,
  )
const half = (id: string) =>
  found(
    [...clearing.oxidants, ...Object.values(clearing.reductantHalves)].find((h) => h.id === id),
    id,
  )
/** kJ a mole of peroxide set free by a reductant. */
const perPeroxide = (reductant: string): number => {
  const equation = combine(half('H2O2'), half(reductant))
  return -found(reactionHeat(equation, clearing, null).kJ, 'heat') / found(equation.reactants['H2O2'], 'peroxide')
}
const decompositionKJ = -hazards.peroxideDecompositionKJPerMol.value
/** Solid thiosulfate in a litre with a mole of peroxide: heat of solution and crystal water counted. */
const solidThiosulfate = (route: string, mol: number): number => {
  const dissolving = found(reactionHeat(parseEquation('Na2S2O3.5H2O(s) -> 2 Na+ + S2O3^2- + 5 H2O'), clearing, null).kJ, 'heat')
  return adiabaticRise(perPeroxide(route) - mol * dissolving, LITRE_KJ_PER_K + (4.18 * mol * 5 * 18.015) / 1000)
}

const mixed = () => plan({ I2: 0.005, 'IO3-': 0.01, H2O2: 0.05 }, 1, { reductant: 'bisulfite' })
const fresh = () => plan({ H2O2: 0.882, 'IO3-': 0.1355 }, 2)
const after = () => plan({ H2O2: 0.682, 'IO3-': 0.0356 }, 2, { reductant: 'bisulfite' })
const mineral = () => plan({ 'H+': 0.1032 }, 2)
const withMalonic = () => plan({ 'H+': 0.1032, MA: 0.0999 }, 2)
const reduced = () => plan({ 'H+': 0.0033, IMA: 0.0999, H2O2: 0.682, 'IO3-': 0.0356 }, 2, { reductant: 'bisulfite' })
const manganese = () => plan({ 'Mn2+': 0.01302, 'SO4^2-': 0.01302 }, 2)
const copper = () => plan({ 'Cu2+': 0.1, 'SO4^2-': 0.1 }, 1)
const bromate = () => plan({ 'BrO3-': 0.018 }, 0.3, { reductant: 'bisulfite' })
const permanganate = () => plan({ 'MnO4-': 0.002 }, 0.1, { reductant: 'bisulfite' })
const sulfate = () => plan({ 'H+': 0.0033, 'SO4^2-': 0.0516, H2O2: 0.682, 'IO3-': 0.0356 }, 2, { reductant: 'bisulfite' })
const metalOf = (p: ClearingPlan) => found(p.metals[0], 'metal')
const manganeseFloor = (malonate: number): number =>
  found(
    residualFloor(
      found(
        clearing.metals.find((m) => m.metal === 'Mn'),
        'manganese',
      ),
      9,
      malonate,
      clearing,
    ),
    'floor',
  )

const answers: readonly (readonly [id: string, what: string, ours: () => number, theirs: number, unit: string, within: number])[] = [
  ['W1', 'oxidant equivalents', () => mixed().oxidantEquivalentsMol.high, 0.17, 'mol', 1e-6],
  ['W1', 'thiosulfate pentahydrate', () => choice(mixed(), 'thiosulfate').massG.high, 42.19, 'g', 0.01],
  ['W1', 'hydrogensulfite', () => choice(mixed(), 'bisulfite').massG.high, 8.85, 'g', 0.006],
  ['W1', 'metabisulfite', () => choice(mixed(), 'metabisulfite').massG.high, 8.08, 'g', 0.005],
  ['W1', 'sulfite', () => choice(mixed(), 'sulfite').massG.high, 10.71, 'g', 0.005],
  ['W1', 'ascorbic acid', () => choice(mixed(), 'ascorbic').massG.high, 14.97, 'g', 0.005],
  ['W1', 'acid used by thiosulfate', () => -choice(mixed(), 'thiosulfate').acidMadeMol.low, 0.16, 'mol', 1e-9],
  ['W2', 'heat', () => choice(mixed(), 'bisulfite').heatKJ.high, 26.4, 'kJ', 0.05],
  ['W2', 'rise', () => choice(mixed(), 'bisulfite').temperatureRiseK.high, 6.3, 'K', 0.05],
  ['W2', 'acid made', () => mixed().acid.amountMol.high, 0.095, 'mol', 0.0005],
  ['W2', 'hydrogencarbonate', () => mixed().acid.bicarbonateG.high, 7.98, 'g', 0.01],
  ['W2', 'carbon dioxide', () => mixed().acid.co2L.high, 2.29, 'L', 0.01],
  ['W3', 'thiosulfate by the sulfate route', () => choice(mixed(), 'thiosulfate').massG.low, 20.47, 'g', 0.01],
  ['W4', 'oxidant equivalents', () => fresh().oxidantEquivalentsMol.high, 2.58, 'mol', 0.005],
  ['W4', 'thiosulfate pentahydrate', () => choice(fresh(), 'thiosulfate').massG.high, 640, 'g', 1],
  ['W4', 'metabisulfite', () => choice(fresh(), 'metabisulfite').massG.high, 122, 'g', 0.6],
  ['W5', 'oxidant equivalents', () => after().oxidantEquivalentsMol.high, 1.58, 'mol', 0.005],
  ['W5', 'thiosulfate, upper', () => choice(after(), 'thiosulfate').massG.high, 392, 'g', 1],
  ['W5', 'thiosulfate, sulfate route', () => choice(after(), 'thiosulfate').massG.low, 95, 'g', 0.5],
  ['W5', 'metabisulfite', () => choice(after(), 'metabisulfite').massG.high, 75, 'g', 0.5],
  ['W5', 'heat', () => choice(after(), 'bisulfite').heatKJ.high, 282, 'kJ', 0.5],
  ['W5', 'rise', () => choice(after(), 'bisulfite').temperatureRiseK.high, 33.8, 'K', 0.1],
  ['W6', 'share that 10 g of thiosulfate clear', () => (100 * 10) / choice(after(), 'thiosulfate').massG.high, 2.6, '%', 0.05],
  ['W7', 'hydrogencarbonate for the mineral acid', () => mineral().acid.bicarbonateG.high, 8.67, 'g', 0.01],
  ['W7', 'carbon dioxide of it', () => mineral().acid.co2L.high, 2.48, 'L', 0.01],
  ['W7', 'soda ash for the mineral acid', () => mineral().acid.carbonateG.high, 5.47, 'g', 0.01],
  ['W7', 'acid with malonic acid', () => withMalonic().acid.amountMol.high, 0.303, 'mol', 0.001],
  ['W7', 'hydrogencarbonate with malonic acid', () => withMalonic().acid.bicarbonateG.high, 25.5, 'g', 0.1],
  ['W7', 'carbon dioxide with malonic acid', () => withMalonic().acid.co2L.high, 7.3, 'L', 0.05],
  ['W7', 'soda ash with malonic acid', () => withMalonic().acid.carbonateG.high, 16.1, 'g', 0.1],
  ['W8', 'acid made by hydrogensulfite', () => reduced().acid.madeMol.high, 0.789, 'mol', 0.001],
  ['W8', 'acid in all', () => reduced().acid.amountMol.high, 0.992, 'mol', 0.002],
  ['W8', 'hydrogencarbonate', () => reduced().acid.bicarbonateG.high, 83, 'g', 0.5],
  ['W8', 'carbon dioxide', () => reduced().acid.co2L.high, 23.9, 'L', 0.1],
  ['W8', 'soda ash', () => reduced().acid.carbonateG.high, 53, 'g', 0.5],
  ['W9', 'manganese at first', () => metalOf(manganese()).startMgPerL, 358, 'mg/L', 0.5],
  ['W9', 'soda ash for it', () => metalOf(manganese()).carbonateG, 1.38, 'g', 0.005],
  ['W9', 'dry carbonate', () => metalOf(manganese()).dryG, 1.5, 'g', 0.005],
  ['W9', 'wet cake, 70 % water', () => metalOf(manganese()).wetG.low, 5, 'g', 0.05],
  ['W9', 'wet cake, 85 % water', () => metalOf(manganese()).wetG.high, 10, 'g', 0.05],
  ['W9', 'floor at pH 9', () => manganeseFloor(0), 0.1, 'mg/L', 0.01],
  ['W9', 'floor at pH 9 with 50 mmol/L malonate', () => manganeseFloor(0.05), 0.2, 'mg/L', 0.01],
  ['W10', 'water that brings it to 4 mg/L', () => (metalOf(manganese()).startMgPerL / 4) * 2, 179, 'L', 0.5],
  ['W11', 'copper at first', () => metalOf(copper()).startMgPerL, 6355, 'mg/L', 1],
  ['W11', 'soda ash for it', () => metalOf(copper()).carbonateG, 10.6, 'g', 0.05],
  ['W11', 'dry malachite', () => metalOf(copper()).dryG, 11.06, 'g', 0.01],
  ['W11', 'carbon dioxide', () => gasVolumeL(metalOf(copper()).co2Mol, 293.15), 1.2, 'L', 0.01],
  ['W12', 'hydrogensulfite', () => choice(bromate(), 'bisulfite').massG.high, 5.62, 'g', 0.005],
  ['W12', 'metabisulfite', () => choice(bromate(), 'metabisulfite').massG.high, 5.13, 'g', 0.005],
  ['W12', 'ascorbic acid', () => choice(bromate(), 'ascorbic').massG.high, 9.51, 'g', 0.005],
  ['W12', 'heat', () => choice(bromate(), 'bisulfite').heatKJ.high, 16.3, 'kJ', 0.05],
  ['W12', 'rise', () => choice(bromate(), 'bisulfite').temperatureRiseK.high, 13, 'K', 0.05],
  ['W12', 'acid made', () => choice(bromate(), 'bisulfite').acidMadeMol.high, 0.054, 'mol', 1e-9],
  ['W13', 'hydrogensulfite', () => choice(permanganate(), 'bisulfite').massG.high, 0.52, 'g', 0.005],
  ['W13', 'ascorbic acid', () => choice(permanganate(), 'ascorbic').massG.high, 0.88, 'g', 0.005],
  ['W13', 'acid used', () => -choice(permanganate(), 'bisulfite').acidMadeMol.high, 0.001, 'mol', 1e-9],
  ['W14', 'rise with hydrogensulfite', () => adiabaticRise(perPeroxide('bisulfite'), LITRE_KJ_PER_K), 91, 'K', 0.5],
  ['W14', 'rise with solid thiosulfate, sulfate route', () => solidThiosulfate('sulfate', 0.25), 71, 'K', 0.5],
  ['W14', 'rise with solid thiosulfate, tetrathionate route', () => solidThiosulfate('tetrathionate', 2), 42, 'K', 0.5],
  ['W14', 'rise by decomposition', () => adiabaticRise(decompositionKJ, LITRE_KJ_PER_K), 22.7, 'K', 0.05],
  ['W14', 'oxygen', () => gasVolumeL(0.5, 293.15), 12, 'L', 0.05],
  ['W15', '15 K by hydrogensulfite from', () => (15 * LITRE_KJ_PER_K) / perPeroxide('bisulfite'), 0.166, 'mol/L', 0.001],
  ['W15', '15 K by sulfite from', () => (15 * LITRE_KJ_PER_K) / perPeroxide('sulfite'), 0.17, 'mol/L', 0.0005],
  ['W15', '15 K by thiosulfate from', () => (15 * LITRE_KJ_PER_K) / perPeroxide('sulfate'), 0.2, 'mol/L', 0.005],
  ['W15', '15 K by decomposition from', () => (15 * LITRE_KJ_PER_K) / decompositionKJ, 0.66, 'mol/L', 0.005],
  ['W16', 'pressure in a closed bottle', () => closedBottleBar(0.44, 0.25, 293.15), 42.9, 'bar', 0.05],
  ['W16', 'share decomposed at 3 bar', () => 300 / closedBottleBar(0.44, 0.25, 293.15), 7, '%', 0.05],
  ['W17', 'iodine of 0.41 mmol in 100 m3', () => ppmInRoom(0.41e-3, { temperatureK: 298.15, volumeM3: 100 }), 0.1, 'ppm', 0.002],
  ['W17', 'mass of that iodine', () => 0.41e-3 * molar('I2'), 0.104, 'g', 0.0005],
  ['W18', 'sulfur dioxide of 4.1 mmol in 100 m3', () => ppmInRoom(4.1e-3, { temperatureK: 298.15, volumeM3: 100 }), 1, 'ppm', 0.02],
  ['W18', 'thiosulfate pentahydrate that gives it', () => 4.1e-3 * molar('Na2S2O3·5H2O'), 1, 'g', 0.05],
  ['W18', 'metabisulfite that gives it', () => (4.1e-3 / 2) * molar('Na2S2O5'), 0.39, 'g', 0.005],
  [
    'W19',
    'sulfate in the drain',
    () => {
      const p = sulfate()
      const mgPerL = found(
        p.composition.find((c) => c.name === 'sulfate'),
        'sulfate',
      ).mgPerL.high
      const treatedL = p.liquid.volumeL.high
      return (mgPerL * treatedL) / 1000 / 2
    },
    40.4,
    'g/L',
    0.1,
  ],
]

const table = facts.rows('hazards/cleanup_worked_examples')
it('every example of the table has its rows', () => {
  expect([...new Set(answers.map(([id]) => id))]).toEqual(table.map((row) => row['id']))
})
for (const [id, what, ours, theirs, unit, within] of answers) {
  const row = table.find((r) => r['id'] === id)
  check(`${id}: ${what}`, {
    source: `data/hazards/cleanup_worked_examples.csv, ${row?.['title'] ?? ''}; ${row?.['source'] ?? ''}`,
    seen: seenFrom(row?.['status'] ?? ''),
    ours,
    theirs,
    unit,
    within,
    because: 'last printed digit',
  })
}
