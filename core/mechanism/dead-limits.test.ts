import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { type CanItWork, deadLimits } from './dead-limits.ts'
import { findMechanism } from './catalogue.ts'

function judge(name: string, mixture: Readonly<Record<string, number>>): CanItWork {
  const found = findMechanism(name, facts.mechanisms(), facts.mechanismDefaults())
  if (!found.ok) throw new Error(JSON.stringify(found.problems))
  return deadLimits(found.value, mixture)
}
const codes = (r: CanItWork): readonly string[] => r.problems.map((p) => p.code)
const words = (r: CanItWork): string => r.problems.map((p) => `${p.what} ${p.todo}`).join('\n')
function marginOf(r: CanItWork, effect: string, species: string) {
  const check = r.checks.find((c) => c.effect === effect)
  const margin = check?.margins.find((m) => m.species === species)
  if (!margin) throw new Error(`no margin of ${species}`)
  return margin
}

describe('iodate and hydrogensulfite', () => {
  // colour only if 3 [IO3-] > [S(IV)]: IO3- + 3 HSO3- -> I- + 3 SO4^2- + 3 H+ must use the sulfur(IV) up
  it('3 [IO3-] < [S(IV)] is dead, with both ways out', () => {
    const r = judge('iodate-bisulfite', { 'IO3-': 0.003, 'HSO3-': 0.01, 'H+': 1e-4 })
    expect(r.works).toBe(false)
    expect(codes(r)).toEqual(['mechanism/dead-limit'])
    expect(marginOf(r, 'shows', 'IO3-').ratio).toBeCloseTo((3 * 0.003) / 0.01, 2)
    expect(marginOf(r, 'shows', 'HSO3-').atMostMolPerL).toBeCloseTo(3 * 0.003, 4)
    expect(words(r)).toMatch(/bring IO3- to 3\.3\d mmol\/L or more .*HSO3- to .* or less/)
  })
  it('counts all forms of sulfur(IV)', () => {
    const forms = { 'HSO3-': 0.006, 'SO3^2-': 0.003, H2SO3: 0.001 }
    expect(judge('iodate-bisulfite', { 'IO3-': 0.0032, ...forms }).works).toBe(false)
    expect(judge('iodate-bisulfite', { 'IO3-': 0.0036, ...forms }).works).toBe(true)
  })
  it('the iodine at the end is the smaller of 3 (A - S/3) and S/5 (mechanism notes)', () => {
    for (const [a, s] of [
      [0.01, 0.01],
      [0.0035, 0.01],
    ] as const) {
      const check = judge('iodate-bisulfite', { 'IO3-': a, 'HSO3-': s }).checks[0]!
      // the most iodine: iodate left over oxidises S/3 iodide, 5 a turnover
      expect(check.extremeMolPerL).toBeCloseTo(Math.min(3 * (a - s / 3), (3 * (s / 3)) / 5), 6)
    }
  })
})

describe('thiosulfate clocks', () => {
  // H2O2 + 2 I- + 2 H+ -> I2 and I2 + 2 S2O3^2- -> …: thiosulfate must be less than twice the oxidant
  for (const [name, oxidant] of [
    ['peroxide-iodide-thiosulfate', 'H2O2'],
    ['persulfate-iodide-thiosulfate', 'S2O8^2-'],
  ] as const) {
    it(`${name}: colour only if thiosulfate < 2 ${oxidant}`, () => {
      const mix = (thiosulfate: number): CanItWork => judge(name, { [oxidant]: 0.02, 'I-': 0.02, 'H+': 0.1, 'S2O3^2-': thiosulfate })
      expect(mix(0.0399).works).toBe(true)
      expect(mix(0.0401).works).toBe(false)
      expect(marginOf(mix(0.03), 'shows', 'S2O3^2-').ratio).toBeCloseTo(0.04 / 0.03, 2)
      expect(marginOf(mix(0.05), 'shows', oxidant).atLeastMolPerL).toBeCloseTo(0.025, 4)
    })
    it(`${name}: a thin margin is a caution, not a refusal`, () => {
      const r = judge(name, { [oxidant]: 0.02, 'I-': 0.02, 'H+': 0.1, 'S2O3^2-': 0.0385 })
      expect(r.works).toBe(true)
      expect(r.cautions.map((c) => c.code)).toContain('mechanism/thin-margin')
    })
    it(`${name}: no oxidant, no iodide`, () => {
      const all = { [oxidant]: 0.02, 'I-': 0.02, 'H+': 0.1, 'S2O3^2-': 0.001 }
      expect(words(judge(name, { ...all, [oxidant]: 0 }))).toContain(`(${oxidant})`)
      expect(codes(judge(name, { ...all, 'I-': 0 }))).toContain('mechanism/missing')
      expect(words(judge(name, { ...all, 'I-': 0 }))).toContain('iodide (I-)')
    })
  }
})

describe('peroxide and iodide without acid', () => {
  // k1 of Liebhafsky and Mohammad needs no acid: neutral peroxide gives oxygen with iodide (data/mechanisms)
  it('works in plain water, not without iodide', () => {
    expect(judge('peroxide-iodide', { H2O2: 0.9, 'I-': 0.1 }).works).toBe(true)
    expect(judge('peroxide-iodide', { H2O2: 0.9 }).works).toBe(false)
  })
})

describe('iodate, peroxide, malonic acid and manganese', () => {
  const whole = { 'H+': 0.03, 'SO4^2-': 0.006, 'HSO4-': 0.02, 'HMA-': 0.002, MA: 0.045, 'IO3-': 0.05, H2O2: 1, 'Mn2+': 0.006 }
  it('works when all are there, and says which reagent the whole show runs out of', () => {
    const r = judge('iodate-peroxide-malonate', whole)
    expect(r.works).toBe(true)
    expect(r.cautions).toEqual([])
    expect(r.limiting.find((l) => l.netReaction === 'whole')!.limiting.species).toBe('MA')
    expect(
      judge('iodate-peroxide-malonate', { ...whole, 'IO3-': 0.03 }).limiting.find((l) => l.netReaction === 'whole')!.limiting.species,
    ).toBe('IO3-')
  })
  for (const [absent, named] of [
    ['IO3-', 'iodate'],
    ['H2O2', 'hydrogen peroxide'],
    ['Mn2+', 'manganese(II)'],
  ] as const) {
    it(`without ${absent} it is dead and names it`, () => {
      const r = judge('iodate-peroxide-malonate', { ...whole, [absent]: 0 })
      expect(r.works).toBe(false)
      expect(codes(r)).toEqual(['mechanism/missing'])
      expect(words(r)).toContain(`${named} (${absent})`)
    })
  }
  it('without malonic acid nothing takes the colour away', () => {
    const r = judge('iodate-peroxide-malonate', { ...whole, MA: 0, 'HMA-': 0 })
    expect(codes(r)).toEqual(['mechanism/missing'])
    expect(words(r)).toMatch(/no malonic acid \(MA\).*nothing takes iodine \(I2\) away/)
  })
})

describe('bromate, bromide and malonic acid', () => {
  // BrO3- + 2 Br- + 3 MA + 3 H+ -> 3 BrMA + 3 H2O: bromide cannot be used up when malonic acid is below 1.5 times it
  it('more bromine than malonic acid can take up is dead', () => {
    for (const [name, catalyst] of [
      ['bromate-malonate-cerium', 'Ce3+'],
      ['bromate-malonate-ferroin', 'ferroin'],
    ] as const) {
      const mix = (ma: number): CanItWork => judge(name, { 'BrO3-': 0.06, 'Br-': 0.05, MA: ma, [catalyst]: 0.002, 'H+': 1.3 })
      const r = mix(0.03)
      expect(r.works).toBe(false)
      expect(marginOf(r, 'shows', 'MA').atLeastMolPerL).toBeCloseTo(1.5 * 0.05, 3)
      expect(marginOf(r, 'shows', 'Br-').atMostMolPerL).toBeCloseTo(0.03 / 1.5, 3)
      expect(mix(0.08).works).toBe(true)
    }
  })
  it('no catalyst', () => {
    expect(words(judge('bromate-malonate-cerium', { 'BrO3-': 0.06, MA: 0.1, 'H+': 1.3 }))).toContain('(Ce3+)')
  })
})

describe('others', () => {
  it('permanganate fades only with 2.5 times as much oxalic acid', () => {
    const mix = (oxalic: number): CanItWork => judge('permanganate-oxalate', { 'MnO4-': 0.002, H2C2O4: oxalic, 'H+': 0.5 })
    expect(mix(0.0049).works).toBe(false)
    expect(mix(0.0051).works).toBe(true)
    expect(mix(0.004).checks[0]!.extremeMolPerL).toBeCloseTo(0.002 - 0.004 / 2.5, 9)
    expect(words(mix(0.004))).toContain('cannot fade')
  })
  it('oxalic acid counts in all its forms', () => {
    expect(judge('permanganate-oxalate', { 'MnO4-': 0.002, H2C2O4: 0.002, 'HC2O4-': 0.003, 'C2O4^2-': 0.001, 'H+': 0.1 }).works).toBe(true)
  })
  it('short acid is a caution with the amount: 3 H+ a permanganate', () => {
    const r = judge('permanganate-oxalate', { 'MnO4-': 0.002, H2C2O4: 0.05, 'H+': 0.001 })
    expect(r.works).toBe(true)
    expect(r.cautions.map((c) => c.code)).toEqual(['mechanism/acid-short'])
    expect(r.cautions[0]!.what).toContain('5.97 mmol/L')
  })
  it('peroxide without its catalyst gives no gas', () => {
    const r = judge('peroxide-iodide', { H2O2: 0.8, 'H+': 1e-7 })
    expect(r.works).toBe(false)
    expect(words(r)).toContain('iodide (I-)')
    expect(judge('peroxide-iodide', { H2O2: 0.8, 'I-': 0.05, 'H+': 1e-7 }).works).toBe(true)
  })
  it('blue bottle without sugar stays blue; nothing is told twice', () => {
    expect(codes(judge('blue-bottle', { 'MB+': 3e-5, 'OH-': 0.5 }))).toEqual(['mechanism/missing'])
  })
  it('nothing at all in the vessel', () => {
    for (const name of Object.keys(facts.mechanismDefaults())) expect(judge(name, {}).works, name).toBe(false)
  })
  it('every catalogue mechanism takes hostile numbers without a fault', () => {
    for (const f of facts.mechanisms()) {
      const r = judge(f.name, { H2O2: -1, 'I-': Number.NaN, 'IO3-': 1e30, __proto__: 3 } as unknown as Record<string, number>)
      expect(typeof r.works).toBe('boolean')
    }
  })
})
