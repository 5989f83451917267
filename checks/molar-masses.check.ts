/** Molar masses printed in handbooks and on labels against ours from the CIAAW atomic weights; and those weights themselves. */
import { molarMass } from '@beakertide/core/matter'
import { seenFrom } from '@beakertide/basis/sources'
import { facts } from '@beakertide/data'
import { ledger, valueOf } from './ledger.ts'
import { outsideRows } from './outside.ts'

const { check } = ledger('molar-masses')
const { weights } = facts.matter()
const cell = (row: Readonly<Record<string, string>>, column: string): string => row[column] ?? ''

for (const row of outsideRows('molar_masses')) {
  check(`${cell(row, 'name')}, ${cell(row, 'formula')}`, {
    source: cell(row, 'source'),
    seen: seenFrom(cell(row, 'seen')),
    ours: () => valueOf(molarMass(cell(row, 'formula'), weights)).value,
    theirs: Number(cell(row, 'molar_mass_g_per_mol')),
    unit: 'g/mol',
    within: Number(cell(row, 'within_g_per_mol')),
    because: cell(row, 'because'),
    ...(cell(row, 'doubt') === '' ? {} : { doubted: cell(row, 'doubt') }),
  })
}

// Standard atomic weights, abridged to five digits, as printed on every periodic table since 2011.
const CIAAW = 'IUPAC/CIAAW standard atomic weights, abridged to five digits (Prohaska et al., Pure Appl. Chem. 94, 573 (2022))'
for (const [symbol, weight, within] of [
  ['H', 1.008, 0.0002],
  ['C', 12.011, 0.002],
  ['N', 14.007, 0.001],
  ['O', 15.999, 0.001],
  ['Na', 22.99, 0.001],
  ['S', 32.06, 0.02],
  ['Cl', 35.45, 0.01],
  ['K', 39.098, 0.001],
  ['Mn', 54.938, 0.001],
  ['Cu', 63.546, 0.003],
  ['Br', 79.904, 0.003],
  ['Ag', 107.87, 0.01],
  ['I', 126.9, 0.01],
  ['Ce', 140.12, 0.01],
] as const) {
  check(`atomic weight of ${symbol}`, {
    source: CIAAW,
    seen: 'memory',
    ours: () => valueOf(molarMass(symbol, weights)).value,
    theirs: weight,
    unit: 'g/mol',
    within,
    because: 'the bound that CIAAW prints beside it',
  })
}
