/** What the trade takes for granted, as check values only: "common practice, no source". None of it is demonstration data. */
import { trueStrengths } from '@beakertide/core/makeup'
import { facts } from '@beakertide/data'
import { found, ledger, valueOf } from './ledger.ts'
import { byMass, byVolume, inBottle, oneSolution, pure, strength, volume } from './one-solution.ts'

const { check } = ledger('trade-facts')
const practice = { source: 'common practice, no source', seen: 'practice' as const }
const world = { matter: facts.matter(), glassware: facts.glassware() }

check('43 g of potassium iodate a litre', {
  ...practice,
  ours: () => oneSolution({ substance: 'KIO3', purity: pure }, '1 L', byMass('43 g')).molPerL,
  theirs: 0.2,
  unit: 'mol/L',
  within: 0.005,
  because: 'said as "about" and "near"',
})
check('400 mL of 30 % peroxide made up to a litre', {
  ...practice,
  ours: () => oneSolution({ substance: 'hydrogen peroxide', strength: strength('30 % w/w') }, '1 L', byVolume('400 mL')).molPerL,
  theirs: 3.95,
  unit: 'mol/L',
  within: 0.1,
  because: 'said as 3.9 to 4',
})
/** Potassium iodate of the first of three solutions, in the mix of the volumes. */
function thirds(first: string, second: string, third: string): number {
  const bottles = [
    { id: 'iodate', substance: 'KIO3', purity: pure },
    { id: 'malonic', substance: 'malonic acid', purity: pure },
    { id: 'peroxide', substance: 'hydrogen peroxide', strength: strength('3 % w/w') },
  ]
  const solutions = ['iodate', 'malonic', 'peroxide'].map((id) => ({
    id,
    volume: volume('1 L'),
    ingredients: [{ bottle: id, target: id === 'peroxide' ? byVolume('1 L') : byMass('12 g') }],
  }))
  const pours = [
    { solution: 'iodate', volume: volume(first) },
    { solution: 'malonic', volume: volume(second) },
    { solution: 'peroxide', volume: volume(third) },
  ]
  const result = valueOf(trueStrengths(bottles, solutions, pours, world))
  const mix = found(result.mix, 'mix')
  const alone = found(
    result.strengths.find((s) => s.bottle === 'iodate'),
    'iodate',
  ).trueMolPerL
  return found(mix.speciesMolPerL['IO3-'], 'iodate in the mix') / alone
}
check('equal volumes of three solutions: each strength is divided by', {
  ...practice,
  ours: () => 1 / thirds('50 mL', '50 mL', '50 mL'),
  theirs: 3,
  unit: '1',
  within: 0.02,
  because: 'volumes added up: good below 1 % for dilute solutions',
})
check('one part in four parts: the strength is divided by', {
  ...practice,
  ours: () => 1 / thirds('50 mL', '100 mL', '50 mL'),
  theirs: 4,
  unit: '1',
  within: 0.03,
  because: 'volumes added up: good below 1 % for dilute solutions',
})
for (const [volumes, percent, within] of [
  [10, 3, 0.1],
  [20, 6, 0.15],
  [40, 12, 0.3],
] as const) {
  check(`peroxide of ${volumes} volumes, % w/v`, {
    ...practice,
    ours: () => {
      const one = inBottle({ substance: 'hydrogen peroxide', strength: strength('1 % w/v') })
      return inBottle({ substance: 'hydrogen peroxide', strength: strength(`${volumes} volumes`) }) / one
    },
    theirs: percent,
    unit: '% w/v',
    within,
    because: 'round numbers on bottles',
  })
}
check('concentrated sulfuric acid, "36 normal"', {
  ...practice,
  ours: () => 2 * inBottle({ substance: 'sulfuric acid', strength: strength('96 % w/w') }),
  theirs: 36,
  unit: 'mol/L of protons',
  within: 0.5,
  because: 'round number',
})
check('dilute hydrochloric acid, one volume of concentrated acid in two', {
  ...practice,
  ours: () => oneSolution({ substance: 'hydrochloric acid', strength: strength('37 % w/w') }, '1 L', byVolume('500 mL')).molPerL,
  theirs: 6,
  unit: 'mol/L',
  within: 0.1,
  because: 'called "6 molar" everywhere',
})
check('24.8 g of sodium thiosulfate pentahydrate a litre', {
  ...practice,
  ours: () => oneSolution({ substance: 'sodium thiosulfate', hydrate: 'pentahydrate', purity: pure }, '1 L', byMass('24.8 g')).molPerL,
  theirs: 0.1,
  unit: 'mol/L',
  within: 0.0005,
  because: 'decinormal solution of every textbook',
})
