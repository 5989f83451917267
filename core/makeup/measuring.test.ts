import { describe, expect, it } from 'vitest'
import fc from 'fast-check'
import { facts } from '@beakertide/data'
import { fillUp, measure, type Measuring, writtenByTool } from './measuring.ts'
import { balanceWith, shownOnBalance, smallestWeighingG, weigh, weighingUncertaintyG, writtenByBalance } from './weighing.ts'

const ware = facts.glassware()
const how = (more: Partial<Measuring> = {}): Measuring => ({
  glassClass: 'A',
  ware,
  expansionPerK: 2.1e-4,
  enoughRelative: 0.005,
  corrosive: false,
  ...more,
})
const mL = (x: number): number => x / 1000

describe('readGlassware', () => {
  it('holds the limits of the standards (ISO 1042, 648, 385, 4788: memory)', () => {
    const tolerance = (kind: string, cls: string, capacityMl: number): number | undefined =>
      ware.pieces.find((p) => p.kind === kind && p.class === cls && Math.abs(p.capacityL * 1000 - capacityMl) < 1e-9)?.toleranceL
    expect(tolerance('volumetric flask', 'A', 250)).toBeCloseTo(mL(0.15), 9)
    expect(tolerance('bulb pipette', 'B', 25)).toBeCloseTo(mL(0.06), 9)
    expect(tolerance('burette', 'A', 50)).toBeCloseTo(mL(0.05), 9)
    expect(tolerance('measuring cylinder', 'B', 100)).toBeCloseTo(mL(1), 9)
    expect(tolerance('piston pipette', 'indicative', 1)).toBeCloseTo(8e-6, 12)
    expect(ware.balances.map((b) => b.readabilityG)).toEqual([1, 0.1, 0.01, 0.001, 0.0001])
  })
})

describe('which tool', () => {
  it.each([
    ['a round volume that must be exact: the pipette', 20, { enoughRelative: 0.0015 }, /^bulb pipette 20 mL class A/],
    ['good enough: the simplest, a cylinder', 400, {}, /^measuring cylinder 500 mL class A/],
    ['small and odd: a graduated pipette', 3.3, {}, /^graduated pipette 5 mL class A/],
    ['odd and exact: a burette', 33.3, { enoughRelative: 0.002 }, /^burette 50 mL class A/],
    ['two pipettes that add up', 30, { enoughRelative: 0.0009 }, /^bulb pipette (20|25|15|10|5) mL class A and/],
    ['acid never in a burette', 33.3, { enoughRelative: 0.002, corrosive: true }, /^measuring cylinder 50 mL/],
    ['class B keeps class B', 20, { glassClass: 'B' as const, enoughRelative: 0.003 }, /class B$/],
    ['indicative: a syringe', 8, { glassClass: 'indicative' as const }, /^syringe 10 mL/],
    ['more than any cylinder holds: several fillings', 5000, {}, /filled 3 times/],
  ])('%s', (_title, volume, more, tool) => {
    expect(measure(mL(volume), how(more)).tool).toMatch(tool)
  })

  it('between two pipettes: says both and by how much to change the batch', () => {
    const found = measure(mL(27.83), how({ corrosive: true, enoughRelative: 0.002 }))
    expect(found.better[0]).toMatch(/25\.00 mL and 50\.00 mL: with 50\.00 mL make 1\.797 times/)
  })

  it('shows what can be read', () => {
    expect(measure(mL(33.333), how({ enoughRelative: 0.002 })).shownL).toBeCloseTo(mL(33.35), 9)
    expect(measure(mL(404), how()).shownL).toBeCloseTo(mL(405), 9)
  })

  it('any volume from a drop to a bucket gets a tool, a reading within 20 % and an honest width', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 1, noNaN: true }),
        fc.constantFrom('A' as const, 'B' as const, 'indicative' as const),
        fc.boolean(),
        (lg, glassClass, corrosive) => {
          const volume = 10 ** lg
          const found = measure(volume, how({ glassClass, corrosive }))
          expect(found.tool).not.toBe('')
          expect(found.uncertaintyL).toBeGreaterThan(0)
          if (volume > 5e-4) expect(Math.abs(found.shownL / volume - 1)).toBeLessThan(0.2)
        },
      ),
      { seed: 7, numRuns: 300 },
    )
  })
})

describe('fill up', () => {
  it('in a flask when there is one, else a cylinder with a better flask named', () => {
    expect(fillUp(0.5, how()).tool).toBe('volumetric flask 500 mL class A')
    const odd = fillUp(0.3, how())
    expect(odd.tool).toBe('measuring cylinder 500 mL class A')
    expect(odd.better[0]).toMatch(/500\.0 mL in a volumetric flask/)
    expect(fillUp(12, how()).tool).toMatch(/filled 6 times/)
  })
})

describe('a volume as the tool shows it', () => {
  it.each([
    ['a cylinder in whole millilitres', 182, 1, '182 mL'],
    ['a scale read to half a tenth', 2.1, 0.05, '2.10 mL'],
    ['a scale read to half of 0.05 mL, on a mark', 2.1, 0.025, '2.10 mL'],
    ['a burette read to half of 0.05 mL', 12.125, 0.025, '12.125 mL'],
    ['one-mark ware', 25, 0, '25.00 mL'],
    ['less than one step: what is wanted', 0.0123, 0.05, '0.01230 mL'],
  ])('%s', (_, volume, step, written) => {
    expect(writtenByTool(mL(volume), mL(step))).toBe(written)
  })
})

describe('the balance', () => {
  it.each([
    [0.01, 21.5075, 21.51, '21.51 g'],
    [0.1, 21.5075, 21.5, '21.5 g'],
    [1, 21.5075, 22, '22 g'],
    [0.05, 21.5075, 21.5, '21.50 g'],
    [0.0001, 0.12345, 0.1235, '0.1235 g'],
  ])('with %s g shows %s as %s', (digit, mass, shown, written) => {
    expect(shownOnBalance(mass, digit)).toBe(shown)
    expect(writtenByBalance(shown, digit)).toBe(written)
  })

  it('0.1 mg: linearity 0.2 mg and half a digit twice, repeatability once = 0.20 mg (hand-worked)', () => {
    // sqrt(2 (0.2^2/3 + 0.05^2/3) + 0.1^2) = sqrt(0.02833 + 0.01) = 0.1958 mg
    expect(weighingUncertaintyG(balanceWith(0.0001, ware)) * 1000).toBeCloseTo(0.1958, 3)
  })

  it('smallest weighing for 1 %: a hundred standard uncertainties', () => {
    const balance = balanceWith(0.01, ware)
    expect(smallestWeighingG(balance, 0.01)).toBeCloseTo(100 * weighingUncertaintyG(balance), 9)
  })

  it('beyond the capacity: in loads, with the uncertainty growing', () => {
    const heavy = weigh(450, balanceWith(0.01, ware))
    expect(heavy.loads).toBe(3)
    expect(heavy.tool).toMatch(/3 loads/)
  })

  it('a digit between the rows gets the habits of the rows', () => {
    expect(balanceWith(0.02, ware)).toMatchObject({ linearityG: 0.04, capacityG: 200 })
  })
})
