/** Strength and density of bottles as the trade sells them, against what our label reader and density tables make of the label. */
import { seenFrom } from '@beakertide/basis/sources'
import type { Bottle } from '@beakertide/core/makeup'
import { ledger } from './ledger.ts'
import { byVolume, inBottle, oneSolution, quantity, strength } from './one-solution.ts'
import { outsideRows } from './outside.ts'

const { check } = ledger('commercial-strengths')

/** What the row wants to know of its bottle. */
function answer(bottle: Omit<Bottle, 'id'>, wanted: string): number {
  if (wanted === 'mol/L') return inBottle(bottle)
  const { portion } = oneSolution(bottle, '100 mL', byVolume('100 mL'))
  const gPerMl = portion.massG / 100
  if (wanted === 'g/mL') return gPerMl
  const pure = oneSolution({ substance: bottle.substance, strength: strength('1 % w/w') }, '100 mL', byVolume('100 mL')).portion
  // Amount a gram of bottle over that of a 1 % bottle.
  return portion.amountMol / portion.massG / (pure.amountMol / pure.massG)
}

for (const row of outsideRows('commercial_strengths')) {
  const cell = (column: string): string => row[column] ?? ''
  const density = cell('density_g_per_ml')
  check(cell('name'), {
    source: cell('source'),
    seen: seenFrom(cell('seen')),
    ours: () =>
      answer(
        {
          substance: cell('substance'),
          strength: strength(cell('strength')),
          ...(density === '' ? {} : { density: quantity(`${density} g/mL`, 'density') }),
        },
        cell('wanted'),
      ),
    theirs: Number(cell('value')),
    unit: cell('unit'),
    within: Number(cell('within')),
    because: cell('because'),
  })
}
