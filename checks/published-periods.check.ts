/** Periods that papers print for the models of the catalogue, from our integration of the catalogue files. */
import { createIntegrator } from '@beakertide/basis/numerics'
import { oregonator } from '../basis/numerics/test-set.ts'
import { found, ledger } from './ledger.ts'
import { type Batch, maximaOf, periodsOf, runBatch } from './network-run.ts'

const { check } = ledger('published-periods')

const last = (numbers: readonly number[]): number => found(numbers.at(-1), 'period')

check('Oregonator of 1974, dimensionless', {
  source: 'Field & Noyes, J. Chem. Phys. 60, 1877 (1974): s 77.27, w 0.161, q 8.375e-6, f 1, period 302.9',
  seen: 'memory',
  ours: () => {
    const run = createIntegrator(oregonator.system, 'rodas5p').run({
      fromS: 0,
      toS: 1000,
      y0: oregonator.y0,
      tolerances: { relative: 1e-9, absolute: 1e-14 },
      // The autocatalytic variable swings from 1 to 1e5: the same point of each cycle.
      events: [{ name: 'burst', direction: 'rising', value: (_t, y) => (y[0] ?? 0) - 1000 }],
    })
    return last(periodsOf(run.events.map((e) => e.timeS)))
  },
  theirs: 302.9,
  unit: '1',
  within: 0.06,
  because: 'last printed digit',
})

const oregonatorStart = { 'BrO3-': 0.06, HBrO2: 1e-8, 'Br-': 1e-6, Z: 1e-6 }
check('Oregonator of 1974, seconds', {
  source: 'Field & Noyes, J. Chem. Phys. 60, 1877 (1974): 302.9 units of 0.161 s',
  seen: 'memory',
  ours: () =>
    last(periodsOf(maximaOf({ mechanism: 'bromate-malonate-cerium/skeleton-1974', molPerL: oregonatorStart, toS: 400 }, 'HBrO2', 10))),
  theirs: 48.77,
  unit: 's',
  within: 0.05,
  because: 'the unit of time 0.161 is printed to three digits (48.75 with the constants themselves)',
})
check('Oregonator with the revised "Lo" constants', {
  source: 'period 387 s for f = 1, in a stored public description of the model; constants after Tyson 1985',
  seen: 'read',
  ours: () =>
    last(periodsOf(maximaOf({ mechanism: 'bromate-malonate-cerium/skeleton-1985', molPerL: oregonatorStart, toS: 2500 }, 'HBrO2', 10))),
  theirs: 387,
  unit: 's',
  within: 0.5,
  because: 'printed without decimals',
})

/** Reactants held at the strengths of the published reactor; see the fact file for the convention. */
const pooled: Omit<Batch, 'mechanism'> = {
  molPerL: { 'IO3-': 0.0225, H2O2: 0.33, MA: 0.0015, 'Mn2+': 0.004, 'H+': 0.056, 'I-': 0.0004 },
  held: ['IO3-', 'H2O2', 'H+', 'Mn2+', 'MA'],
  toS: 3600,
  relative: 1e-9,
}
const AUDIT = 'public literature audit of the 1982 ten-step model (2026), pooled reactants, De Kepper & Epstein constants'
check('ten-step skeleton of 1982, pooled reactants: period', {
  source: AUDIT,
  seen: 'read',
  ours: () => last(periodsOf(maximaOf({ ...pooled, mechanism: 'iodate-peroxide-malonate/skeleton-a-1982' }, 'I-', 10))),
  theirs: 526.868,
  unit: 's',
  within: 0.005,
  because: 'printed to 0.001; two solvers agree to 3e-6 there',
})
check('ten-step skeleton of 1982, pooled reactants: most iodine', {
  source: AUDIT,
  seen: 'read',
  ours: () => {
    const batch = { ...pooled, mechanism: 'iodate-peroxide-malonate/skeleton-a-1982' }
    return runBatch(batch).at(last(maximaOf(batch, 'I2')), 'I2')
  },
  theirs: 2.6016e-4,
  unit: 'mol/L',
  within: 1e-7,
  because: 'printed to five digits, read from samples',
})
