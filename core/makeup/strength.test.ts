import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import type { Problem } from '@beakertide/basis/problems'
import { parseQuantity, type Quantity, type QuantityKind } from '@beakertide/basis/units'
import { waterVapourPressurePa } from '../matter/index.ts'
import { massFractionFromDensity } from './label-doubts.ts'
import { waterMolarMass } from './make-up.ts'
import type { Bottle } from './recipe.ts'
import { readBottle } from './strength.ts'

const matter = facts.matter()
const room = { matter, ware: facts.glassware(), tools: { balanceReadabilityG: 0.001, glassClass: 'A' as const }, expansionPerK: 2.1e-4 }
const kinds: QuantityKind[] = [
  'mass-fraction',
  'mass-concentration',
  'volume-fraction',
  'amount-concentration',
  'molality',
  'oxygen-volumes',
  'mass',
  'volume',
  'temperature',
  'density',
  'fraction',
  'pressure',
]
function q(text: string): Quantity {
  const read = parseQuantity(text, kinds)
  if (!read.ok) throw new Error(JSON.stringify(read.problems))
  return read.value
}
const read = (b: Omit<Bottle, 'id'>, celsius = 20) => readBottle({ id: 'b', ...b }, celsius, room, waterMolarMass(matter))
function content(b: Omit<Bottle, 'id'>, celsius = 20) {
  const found = read(b, celsius)
  if (!found.ok) throw new Error(JSON.stringify(found.problems))
  return { ...found.value, warnings: found.warnings }
}
const codes = (problems: readonly Problem[]): readonly string[] => problems.map((p) => p.code)
function problemCodes(b: Omit<Bottle, 'id'>): readonly string[] {
  const found = read(b)
  return found.ok ? [] : codes(found.problems)
}
const warning = (b: Omit<Bottle, 'id'>, code: string): Problem | undefined => content(b).warnings.find((w) => w.code === `makeup/${code}`)

describe('a label that contradicts itself', () => {
  it('"30 %" of peroxide: both readings in mol/L', () => {
    // 30 % w/w at 1.112 g/mL is 9.81 mol/L, 30 % w/v is 8.82 mol/L (300/34.014)
    const doubt = warning({ substance: 'hydrogen peroxide', strength: q('30 %') }, 'per-cent-of-what')
    expect(doubt!.what).toMatch(/w\/w is 9\.8\d* mol\/L, w\/v is 8\.82 mol\/L/)
  })

  it('"3 %" of peroxide reads the same within 2 %, so nobody is asked', () => {
    expect(warning({ substance: 'hydrogen peroxide', strength: q('3 %') }, 'per-cent-of-what')).toBeUndefined()
  })

  it('strength and density that do not belong together: what the density means', () => {
    // 1.40 g/mL is 50 % sulfuric acid (CRC 50 %: 1.3952)
    const doubt = warning(
      { substance: 'sulfuric acid', strength: q('96 % w/w'), density: q('1.3952 g/mL') },
      'density-and-strength-disagree',
    )
    expect(doubt!.what).toMatch(/belongs to 50\.0 % w\/w/)
  })

  it('a density that fits the other reading of the per cent says so', () => {
    // 30 % w/w peroxide has 1.1122 g/mL; the label says w/v
    const doubt = warning(
      { substance: 'hydrogen peroxide', strength: q('30 % w/v'), density: q('1.1122 g/mL') },
      'density-and-strength-disagree',
    )
    expect(doubt?.what ?? 'within 1 %').toMatch(/w\/v is doubtful|within 1 %/)
    const strong = warning(
      { substance: 'sulfuric acid', strength: q('50 % w/v'), density: q('1.3952 g/mL') },
      'density-and-strength-disagree',
    )
    expect(strong!.what).toMatch(/w\/v is doubtful/)
  })

  it('w/v of something sold by w/w: named once', () => {
    expect(warning({ substance: 'hydrogen peroxide', strength: q('30 % w/v') }, 'weight-by-volume')?.what ?? '').toMatch(/g in 100 mL|^$/)
  })

  it('strength and density that agree are quiet', () => {
    expect(
      warning({ substance: 'sulfuric acid', strength: q('96 % w/w'), density: q('1.84 g/mL') }, 'density-and-strength-disagree'),
    ).toBeUndefined()
  })

  it('the density of nearly pure sulfuric acid has two mass fractions: none is guessed', () => {
    expect(massFractionFromDensity('H2SO4', 1.8355, 1, 20, matter)).toBeNull()
    expect(massFractionFromDensity('H2SO4', 1.3952, 1, 20, matter)).toBeCloseTo(0.5, 3)
  })

  it('purity of a liquid, purity out of range, per cent of a solid', () => {
    expect(problemCodes({ substance: 'sulfuric acid', purity: q('98 %') })).toContain('makeup/liquid-without-strength')
    expect(problemCodes({ substance: 'sulfuric acid' })).toContain('makeup/liquid-without-strength')
    expect(problemCodes({ substance: 'KIO3', purity: { kind: 'fraction', value: 1.2, text: '120 %' } })).toContain('makeup/purity-range')
    expect(codes(content({ substance: 'KIO3', strength: q('99 % w/w') }).warnings)).toContain('makeup/strength-of-a-solid')
    expect(codes(content({ substance: 'KIO3' }).warnings)).toContain('makeup/grade-unknown')
    expect(problemCodes({ substance: 'KI', strength: q('10 volumes') })).toContain('makeup/volumes-of-no-peroxide')
    expect(problemCodes({ substance: 'KI', strength: q('10 % v/v') })).toContain('makeup/no-pure-density')
    expect(problemCodes({ substance: 'sulfuric acid', strength: q('0 % w/w') })).toContain('makeup/not-above-zero')
    expect(problemCodes({ substance: 'unobtainium' })).toContain('matter/substance-unknown')
    expect(problemCodes({ substance: 'sulfuric acid', strength: q('5 g') })).toContain('makeup/strength-kind')
  })
})

describe('an assay', () => {
  const permanganate = {
    by: 'permanganate' as const,
    take: q('10.00 mL'),
    dilutedTo: q('250.0 mL'),
    aliquot: q('25.00 mL'),
    titrant: q('0.02000 mol/L'),
    used: q('35.60 mL'),
  }

  it('far below the label: how much is lost', () => {
    expect(warning({ substance: 'H2O2', strength: q('9 % w/w'), assay: permanganate }, 'assay-far-from-label')!.what).toMatch(
      /1\.78 mol\/L.*2\.7\d mol\/L.*lost/,
    )
  })

  it('a factor of ten: a dilution was forgotten', () => {
    const tenfold = { ...permanganate, aliquot: q('25.00 mL'), dilutedTo: q('250.0 mL'), take: q('1.000 mL') }
    expect(warning({ substance: 'H2O2', strength: q('1.78 mol/L'), assay: tenfold }, 'assay-far-from-label')!.what).toMatch(/factor of 10/)
  })

  it('near the label: quiet, and the assay counts', () => {
    const found = content({ substance: 'H2O2', strength: q('6 % w/w'), assay: permanganate })
    expect(codes(found.warnings)).not.toContain('makeup/assay-far-from-label')
    expect(found.assayed).toBe(true)
    expect(found.molPerL!.value).toBeCloseTo(1.78, 3)
  })

  it('a blank is taken off: 1.60 mL of 37.20 mL leaves 35.60 mL', () => {
    const found = content({ substance: 'H2O2', assay: { ...permanganate, used: q('37.20 mL'), blank: q('1.60 mL') } })
    expect(found.molPerL!.value).toBeCloseTo(1.78, 3)
  })

  it('a doubtful titrant carries through: 2 % of titrant is 2 % of peroxide', () => {
    const found = content({ substance: 'H2O2', assay: { ...permanganate, titrant: q('0.02000 +/- 0.0004 mol/L') } })
    expect(found.molPerL!.u / found.molPerL!.value).toBeCloseTo(0.02, 3)
    expect(found.budget[0]).toMatchObject({ shape: expect.any(String) })
    expect(Math.max(...found.budget.map((p) => p.relative))).toBeCloseTo(0.02, 4)
  })

  it('of a weighed solid gives its purity: 0.2500 g of oxalate that takes 37.00 mL of 0.02017 mol/L is pure (W21)', () => {
    const found = content({
      substance: 'sodium oxalate',
      assay: { by: 'permanganate', take: q('0.2500 g'), aliquot: q('0.2500 g'), titrant: q('0.02017 mol/L'), used: q('37.00 mL') },
    })
    expect(found.massFraction.value).toBeCloseTo(1, 2)
    expect(found.state).toBe('solid')
  })

  it('of oxygen over water takes the vapour off (W44: 750 torr at 26 degC, water 25.2 torr, leaves 725 torr)', () => {
    expect(waterVapourPressurePa(26, matter) / 133.322).toBeCloseTo(25.2, 1)
    const gas = { by: 'oxygen-volume' as const, take: q('5.00 mL'), gas: q('100.0 mL'), temperature: q('26 degC'), pressure: q('750 mmHg') }
    const dry = content({ substance: 'H2O2', assay: { ...gas, overWater: false } })
    const wet = content({ substance: 'H2O2', assay: { ...gas, overWater: true } })
    expect(wet.molPerL!.value / dry.molPerL!.value).toBeCloseTo(725 / 750, 3)
    // 2 p V / (R T) / V: 2 x 724.8 x 133.322 x 1e-4 / (8.314 x 299.15) / 0.005 = 1.554 mol/L, worked by hand
    expect(wet.molPerL!.value).toBeCloseTo(1.554, 2)
  })

  it('without a barometer the weather is in the uncertainty, and it is said', () => {
    const gas = { by: 'oxygen-volume' as const, take: q('5.00 mL'), gas: q('100.0 mL'), temperature: q('20 degC'), overWater: true }
    const found = content({ substance: 'H2O2', assay: gas })
    expect(codes(found.warnings)).toContain('makeup/assay-pressure')
    expect(found.molPerL!.u / found.molPerL!.value).toBeGreaterThan(0.015)
  })

  it.each<readonly [string, Omit<Bottle, 'id'>]>([
    ['assay-does-not-fit', { substance: 'KI', assay: permanganate }],
    [
      'assay-does-not-fit',
      { substance: 'KI', assay: { by: 'oxygen-volume', take: q('5 mL'), gas: q('1 L'), temperature: q('20 degC'), overWater: true } },
    ],
    ['assay-quantity', { substance: 'H2O2', assay: { ...permanganate, titrant: q('5 mL') } }],
    ['assay-quantity', { substance: 'H2O2', assay: { ...permanganate, used: q('0 mL') } }],
    ['assay-blank', { substance: 'H2O2', assay: { ...permanganate, blank: q('40 mL') } }],
    ['assay-aliquot', { substance: 'H2O2', assay: { ...permanganate, aliquot: q('300 mL') } }],
    ['assay-dilution', { substance: 'H2O2', assay: { ...permanganate, take: q('300 mL') } }],
    [
      'assay-quantity',
      { substance: 'H2O2', assay: { by: 'oxygen-volume', take: q('5 mL'), gas: q('1 L'), temperature: q('120 degC'), overWater: true } },
    ],
  ])('%s', (code, b) => {
    expect(problemCodes(b)).toContain(`makeup/${code}`)
  })

  it('names the other titration when that one fits', () => {
    const found = read({ substance: 'KIO3', assay: permanganate })
    expect(found.ok ? '' : found.problems[0]!.todo).toMatch(/iodometric/)
  })

  it('a burette reading of 2 mL is called short', () => {
    expect(codes(content({ substance: 'H2O2', assay: { ...permanganate, used: q('2.00 mL') } }).warnings)).toContain('makeup/assay-reading')
  })
})
