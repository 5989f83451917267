import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import type { Problem } from '@beakertide/basis/problems'
import { parseQuantity, type Quantity, type QuantityKind } from '@beakertide/basis/units'
import { makeUp, type MakeUpOptions } from './make-up.ts'
import type { MakeUp } from './make-up-result.ts'
import type { MixShare } from './mix-share.ts'
import type { BalanceAndGlass, Bottle, Ingredient, SolutionRecipe } from './recipe.ts'

const world = { matter: facts.matter(), glassware: facts.glassware() }

function q(text: string, ...kinds: QuantityKind[]): Quantity {
  const read = parseQuantity(text, kinds)
  if (!read.ok) throw new Error(JSON.stringify(read.problems))
  return read.value
}
const any = (text: string): Quantity =>
  q(
    text,
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
  )

/** "iodate 0.2 mol/L", "acid in-mix 0.05 mol/L", "mn 1.2 g", "acid 20 mL weighed 21 mL" */
function ingredient(line: string): Ingredient {
  const [, name = '', inMix, wanted = '', weighed] = /^(\S+) (in-mix )?(.*?)(?: weighed (.*))?$/.exec(line) ?? []
  const quantity = any(wanted)
  const state = inMix ? 'in-mix' : quantity.kind === 'mass' || quantity.kind === 'volume' ? quantity.kind : 'in-solution'
  return { bottle: name, target: { state, quantity }, ...(weighed ? { weighed: any(weighed) } : {}) }
}
function solution(id: string, madeTo: string, ...lines: string[]): SolutionRecipe {
  return { id, volume: any(madeTo), ingredients: lines.map(ingredient) }
}
const bottles: Readonly<Record<string, Bottle>> = {
  iodate: { id: 'iodate', substance: 'KIO3', purity: any('99.5 %') },
  iodide: { id: 'iodide', substance: 'KI', purity: any('99 %') },
  peroxide: { id: 'peroxide', substance: 'hydrogen peroxide', strength: any('30 % w/w') },
  acid: { id: 'acid', substance: 'sulfuric acid', strength: any('96 % w/w') },
  mn: { id: 'mn', substance: 'manganese(II) sulfate', hydrate: 'monohydrate', purity: any('99 %') },
  malonic: { id: 'malonic', substance: 'malonic acid', purity: any('99 %') },
  soda: { id: 'soda', substance: 'NaOH', purity: any('98 %') },
  starch: { id: 'starch', substance: 'starch', purity: any('95 %') },
  nitrate: { id: 'nitrate', substance: 'potassium nitrate', purity: any('99 %') },
  permanganate: { id: 'permanganate', substance: 'potassium permanganate', purity: any('99 %') },
}
const fineTools: BalanceAndGlass = { balanceReadabilityG: 0.001, glassClass: 'A' }

interface Case {
  readonly solutions: readonly SolutionRecipe[]
  readonly extra?: readonly Bottle[]
  readonly vessels?: readonly MixShare[]
  readonly celsius?: number
  readonly tools?: BalanceAndGlass
  readonly options?: MakeUpOptions
}
function run(c: Case) {
  const used = new Set(c.solutions.flatMap((s) => s.ingredients.map((i) => i.bottle)))
  const extra = c.extra ?? []
  const shelf = [...extra, ...Object.values(bottles).filter((b) => used.has(b.id) && !extra.some((e) => e.id === b.id))]
  return makeUp(shelf, c.solutions, c.vessels ?? [], { temperatureK: 273.15 + (c.celsius ?? 20) }, c.tools ?? fineTools, world, c.options)
}
function good(c: Case): MakeUp {
  const made = run(c)
  if (!made.ok) throw new Error(JSON.stringify(made.problems, null, 1))
  return made.value
}
function refused(c: Case): readonly Problem[] {
  const made = run(c)
  if (made.ok) throw new Error('was not refused')
  return made.problems
}
const codes = (problems: readonly Problem[]): readonly string[] => problems.map((p) => p.code)
const pours = (...list: (readonly [solution: string, mL: number])[]): MixShare => ({
  id: 'jar',
  count: 1,
  pours: list.map(([s, mL]) => ({ solution: s, volumeL: mL / 1000 })),
})

describe('the volume is what the flask says', () => {
  it('water is what is missing to the mass, so volumes do not add up: 1 L of 5 mol/L sulfuric acid takes more than 1 L in all', () => {
    const made = good({ solutions: [solution('A', '1000 mL', 'acid 5 mol/L')] })
    const acidMl = made.portions[0]!.volumeL! * 1000
    // 5 mol/L has 1.2936 g/mL (CRC row 38 % is 5.00 mol/L within 1 %): 490.4/0.96 = 510.8 g of acid, the rest water
    const waterMl = made.solutions[0]!.addedWaterG! / 0.9982
    expect(acidMl + waterMl).toBeGreaterThan(1020)
    expect(acidMl + waterMl).toBeLessThan(1080)
    expect(Math.abs(made.solutions[0]!.densityGPerMl - 1.293)).toBeLessThan(0.01)
  })

  it('a bottle used as it is takes no water', () => {
    const made = good({ solutions: [solution('A', '100 mL', 'peroxide 100 mL')] })
    expect(made.solutions[0]!.addedWaterG).toBeLessThan(0.5)
    expect(made.work.some((s) => s.text.includes('as it is'))).toBe(true)
  })

  it('several solutes: the sum rule is said', () => {
    expect(good({ solutions: [solution('A', '500 mL', 'acid 0.5 mol/L', 'mn 0.1 mol/L')] }).solutions[0]!.densityFrom).toContain(
      'approximation',
    )
  })

  it('a solution of nothing is water', () => {
    const made = good({ solutions: [solution('W', '250 mL')] })
    expect(made.solutions[0]!.amountsMol['H2O']).toBeCloseTo((250 * 0.998206) / 18.015, 3)
  })
})

describe('targets', () => {
  it('in the mix: stronger by the share of the pour', () => {
    const made = good({
      solutions: [solution('A', '500 mL', 'iodate in-mix 0.05 mol/L'), solution('B', '500 mL', 'acid 0.1 mol/L')],
      vessels: [pours(['A', 100], ['B', 200])],
    })
    expect(made.strengths[0]!.wantedMolPerL).toBeCloseTo(0.15, 12)
  })

  it('mass fraction: grams in grams of solution', () => {
    const made = good({ solutions: [solution('A', '1000 mL', 'iodide 10 % w/w')], options: { exact: true } })
    // CRC density of 10 % KI at 20 degC: 1.0761 g/mL, 0.6481 mol/L (table row, read)
    expect(made.strengths[0]!.wantedMolPerL).toBeCloseTo(0.648, 2)
    expect((made.portions[0]!.massG * 0.99) / made.solutions[0]!.massG).toBeCloseTo(0.1, 6)
  })

  it('mass concentration, molality, volumes of oxygen', () => {
    const made = good({
      solutions: [
        solution('A', '1000 mL', 'iodate 43 g/L'),
        solution('B', '1000 mL', 'peroxide 10 volumes'),
        solution('C', '1000 mL', 'iodide 1 mol/kg'),
      ],
      options: { exact: true },
    })
    // about 43 g of potassium iodate in a litre is near 0.20 mol/L: common practice, no source
    expect(made.strengths[0]!.trueMolPerL).toBeCloseTo(0.2, 2)
    expect(made.strengths[1]!.trueMolPerL).toBeCloseTo(20 / 22.414, 3)
    const c = made.solutions[2]!
    expect((1000 * c.amountsMol['I-']!) / (c.amountsMol['H2O']! * 18.015)).toBeCloseTo(1, 6)
  })

  it('what was weighed decides the true strength, beside the wanted one', () => {
    const made = good({ solutions: [solution('A', '500 mL', 'iodate 0.2 mol/L weighed 19.35 g')] })
    expect(made.strengths[0]!.wantedMolPerL).toBeCloseTo(0.2, 12)
    expect(made.strengths[0]!.trueMolPerL).toBeCloseTo((19.35 * 0.995) / 214.0 / 0.5, 4)
    expect(codes(made.remarks)).toContain('makeup/weighed-differs')
  })
})

describe('contradictions are refused with both numbers', () => {
  it.each<readonly [string, Case, RegExp]>([
    ['stock-weaker-than-target', { solutions: [solution('A', '500 mL', 'peroxide 15 mol/L')] }, /9\.[78]\d? mol\/L.*15\.0 mol\/L/],
    ['stock-weaker-than-target', { solutions: [solution('A', '100 mL', 'peroxide 150 mL')] }, /150 mL/],
    ['solute-exceeds-solution', { solutions: [solution('A', '100 mL', 'iodate 5 kg')] }, /5\.0\d* kg/],
    ['no-room-for-water', { solutions: [solution('A', '100 mL', 'peroxide 60 mL', 'acid 60 mL')] }, /"peroxide", "acid" together weigh/],
    ['volume-of-a-solid', { solutions: [solution('A', '100 mL', 'iodate 5 mL')] }, /solid/],
    ['not-above-zero', { solutions: [solution('A', '100 mL', 'iodate 0 mol/L')] }, /more than 0/],
    ['not-above-zero', { solutions: [solution('A', '0 mL', 'iodate 0.1 mol/L')] }, /more than 0/],
    ['per-cent-of-what', { solutions: [solution('A', '100 mL', 'iodate 3 %')] }, /per cent of what/],
    [
      'unknown-bottle',
      { solutions: [{ id: 'A', volume: any('1 L'), ingredients: [ingredient('iodat 1 g')] }], extra: [bottles['iodate']!] },
      /no bottle/,
    ],
    ['ingredient-twice', { solutions: [solution('A', '100 mL', 'iodate 1 g', 'iodate 2 g')] }, /twice/],
    ['name-twice', { solutions: [solution('A', '100 mL', 'iodate 1 g'), solution('A', '100 mL', 'iodate 1 g')] }, /two are called/],
    [
      'liquid-without-strength',
      { solutions: [solution('A', '100 mL', 'acid 0.1 mol/L')], extra: [{ id: 'acid', substance: 'sulfuric acid', purity: any('98 %') }] },
      /purity/,
    ],
    [
      'more-poured-than-made',
      { solutions: [solution('A', '100 mL', 'iodate 0.1 mol/L')], vessels: [{ ...pours(['A', 60]), count: 2 }] },
      /120\.0 mL.*100\.0 mL/,
    ],
    [
      'pour-of-unknown-solution',
      { solutions: [solution('A', '100 mL', 'iodate 0.1 mol/L')], vessels: [pours(['A', 20], ['B', 20])] },
      /never made/,
    ],
    ['mix-target-without-pour', { solutions: [solution('A', '100 mL', 'iodate in-mix 0.1 mol/L')] }, /poured nowhere/],
    ['volumes-of-no-peroxide', { solutions: [solution('A', '100 mL', 'iodide 10 volumes')] }, /hydrogen peroxide/],
    [
      'stronger-than-pure',
      {
        solutions: [solution('A', '1 L', 'acid 0.1 mol/L')],
        extra: [{ id: 'acid', substance: 'sulfuric acid', strength: any('40 mol/L') }],
      },
      /more than the pure/,
    ],
    ['temperature-range', { solutions: [solution('A', '100 mL', 'iodate 0.1 mol/L')], celsius: 120 }, /120/],
    [
      'balance',
      { solutions: [solution('A', '100 mL', 'iodate 0.1 mol/L')], tools: { balanceReadabilityG: 0, glassClass: 'A' } },
      /smallest digit/,
    ],
  ])('%s', (code, c, what) => {
    const problems = refused(c)
    const met = problems.find((p) => p.code === `makeup/${code}`)
    expect(codes(problems)).toContain(`makeup/${code}`)
    expect(met!.what).toMatch(what)
    expect(met!.todo).not.toBe('')
  })

  it('one strength cannot serve two vessels that dilute differently', () => {
    const vessels = [pours(['A', 10], ['B', 10]), { ...pours(['A', 10], ['B', 30]), id: 'tall' }]
    expect(
      codes(
        refused({ solutions: [solution('A', '100 mL', 'iodate in-mix 0.01 mol/L'), solution('B', '100 mL', 'acid 0.1 mol/L')], vessels }),
      ),
    ).toContain('makeup/mix-shares-differ')
  })

  it('all problems come at once', () => {
    const all = codes(
      refused({
        solutions: [solution('A', '100 mL', 'iodate 5 mL'), solution('B', '100 mL', 'peroxide 15 mol/L')],
        vessels: [pours(['C', 10])],
      }),
    )
    expect(all).toEqual(
      expect.arrayContaining(['makeup/volume-of-a-solid', 'makeup/stock-weaker-than-target', 'makeup/pour-of-unknown-solution']),
    )
  })

  it('a number that is none is refused, not computed', () => {
    const nan: Quantity = { kind: 'amount-concentration', value: Number.NaN, text: 'NaN mol/L' }
    const bad = refused({
      solutions: [{ id: 'A', volume: any('1 L'), ingredients: [{ bottle: 'iodate', target: { state: 'in-solution', quantity: nan } }] }],
    })
    expect(codes(bad)).toContain('makeup/not-above-zero')
  })
})

describe('worth a look', () => {
  it('a weighing too small for the balance gets a stock with numbers', () => {
    const made = good({ solutions: [solution('A', '300 mL', 'mn 0.002 mol/L')], tools: { balanceReadabilityG: 0.01, glassClass: 'A' } })
    const remark = made.remarks.find((r) => r.code === 'makeup/weighing-too-small')!
    const [, mass, flask, take] = /stock of ([\d.]+) g in (\d+) mL and take ([\d.]+) mL/.exec(remark.todo)!
    // the stock must give back the amount: m V(take) / V(flask) = 0.1024 g
    expect((Number(mass) * Number(take)) / Number(flask)).toBeCloseTo(made.portions[0]!.massG, 3)
  })

  it('a small volume of acid gets a dilution with numbers', () => {
    const made = good({ solutions: [solution('A', '500 mL', 'acid 0.002 mol/L')] })
    const remark = made.remarks.find((r) => r.code === 'makeup/volume-too-small')!
    const [, acid, flask, take] = /dilute ([\d.]+) mL to (\d+) mL and take ([\d.]+) mL/.exec(remark.todo)!
    expect((Number(acid) * Number(take)) / Number(flask) / (made.portions[0]!.volumeL! * 1000)).toBeCloseTo(1, 2)
  })

  it('an unassayed peroxide is doubtful, an assayed one is not', () => {
    expect(codes(good({ solutions: [solution('A', '500 mL', 'peroxide 1 mol/L')] }).remarks)).toContain('makeup/not-assayed')
    const assayed: Bottle = {
      ...bottles['peroxide']!,
      assay: {
        by: 'permanganate',
        take: any('1.000 mL'),
        dilutedTo: any('100.0 mL'),
        aliquot: any('25.00 mL'),
        titrant: any('0.02000 mol/L'),
        used: any('48.00 mL'),
      },
    }
    const made = good({ solutions: [solution('A', '500 mL', 'peroxide 1 mol/L')], extra: [assayed] })
    expect(codes(made.remarks)).not.toContain('makeup/not-assayed')
    // 2.5 x 0.02 x 48/25 x 100 = 9.60 mol/L, worked by hand
    expect(made.portions[0]!.volumeL! * 1000).toBeCloseTo(500 / 9.6, 1)
  })

  it('little to spare, solution and bottle without use', () => {
    const made = good({
      solutions: [solution('A', '100 mL', 'iodate 0.1 mol/L'), solution('B', '100 mL', 'acid 0.1 mol/L')],
      extra: [bottles['mn']!],
      vessels: [pours(['A', 98])],
    })
    expect(codes(made.remarks)).toEqual(
      expect.arrayContaining(['makeup/little-to-spare', 'makeup/solution-without-use', 'makeup/bottle-without-use']),
    )
  })

  it('beaker marks are coarse and a cylinder is offered with its number', () => {
    const made = good({
      solutions: [solution('A', '500 mL', 'iodate 0.1 mol/L')],
      tools: { balanceReadabilityG: 0.01, glassClass: 'indicative' },
    })
    expect(made.remarks.find((r) => r.code === 'makeup/coarse-volume')!.todo).toMatch(/measuring cylinder 500 mL class B/)
    expect(made.strengths[0]!.uncertaintyMolPerL / made.strengths[0]!.trueMolPerL).toBeGreaterThan(0.02)
  })

  it('rounded to what the balance shows', () => {
    const made = good({ solutions: [solution('A', '500 mL', 'iodate 0.2 mol/L')], tools: { balanceReadabilityG: 0.01, glassClass: 'A' } })
    expect(made.portions[0]!.massShownG).toBe(21.51)
  })
})

describe('does it dissolve', () => {
  it('iodate at 0.5 mol/L does not at 20 degC, and says above which temperature', () => {
    const made = good({ solutions: [solution('A', '500 mL', 'iodate 0.5 mol/L')] })
    const line = made.solubility[0]!
    expect(line.verdict).toBe('too-much')
    // CRC 98th ed.: KIO3 8.19 g per 100 g at 20 degC, 12.8 at 40 degC (table, read)
    expect(line.holdsGPer100gWater).toBeCloseTo(8.1, 0)
    expect(line.dissolvesAboveCelsius!).toBeGreaterThan(30)
    expect(line.dissolvesAboveCelsius!).toBeLessThan(45)
    expect(made.remarks.find((r) => r.code === 'makeup/does-not-dissolve')!.what).toMatch(/dissolves only above \d+ degC/)
  })

  it('dissolves here, crystallises in the cold store', () => {
    const cold = { ...solution('A', '500 mL', 'iodate 0.3 mol/L'), storedAt: any('4 degC') }
    const made = good({ solutions: [cold] })
    expect(made.solubility.map((s) => s.verdict)).toEqual(['dissolves', 'too-much'])
    expect(codes(made.remarks)).toContain('makeup/crystallises-in-store')
  })

  it('a common ion takes some of the room', () => {
    const alone = good({ solutions: [solution('A', '500 mL', 'iodate 0.15 mol/L')] }).solubility[0]!
    const beside = good({ solutions: [solution('A', '500 mL', 'iodate 0.15 mol/L', 'nitrate 0.2 mol/L')] }).solubility.find(
      (s) => s.substanceId === 'potassium-iodate',
    )!
    expect(alone.commonIonGPer100gWater).toBeUndefined()
    expect(beside.commonIonGPer100gWater!).toBeLessThan(alone.holdsGPer100gWater!)
    expect(beside.commonIonGPer100gWater!).toBeGreaterThan(0.6 * alone.holdsGPer100gWater!)
  })
})

describe('iodine', () => {
  const iodine: Bottle = { id: 'iodine', substance: 'iodine', purity: any('99.8 %') }

  it('dissolves in iodide, added first, and not in water', () => {
    const beside = good({ solutions: [solution('L', '100 mL', 'iodine 0.05 mol/L', 'iodide 0.2 mol/L')], extra: [iodine] })
    expect(beside.solubility.find((s) => s.substanceId === 'iodine')!.verdict).toBe('dissolves')
    expect(beside.work.findIndex((s) => s.text.includes('"iodide"'))).toBeLessThan(
      beside.work.findIndex((s) => s.text.includes('"iodine"')),
    )
    expect(good({ solutions: [solution('L', '100 mL', 'iodine 0.05 mol/L')], extra: [iodine] }).solubility[0]!.verdict).toBe('too-much')
  })
})

describe('heat and the order of work', () => {
  it('W33: 27.8 mL of 96 % acid to 1 L rises by 7.9 K (memory inputs)', () => {
    const made = good({ solutions: [solution('A', '1000 mL', 'acid 0.5 mol/L')] })
    expect(Math.abs(made.solutions[0]!.heatOfMakingK! - 7.9)).toBeLessThan(0.4)
  })

  it('acid into water, staged, as a danger, before filling up', () => {
    const work = good({ solutions: [solution('A', '1000 mL', 'acid 4 mol/L')] })
    const order = (what: RegExp): number => work.work.findIndex((s) => what.test(s.text))
    expect(order(/^Put .* water/)).toBeLessThan(order(/never water into acid/))
    expect(order(/never water into acid/)).toBeLessThan(order(/fill up/))
    expect(work.work[order(/never water into acid/)]).toMatchObject({ danger: true })
    expect(work.work[order(/never water into acid/)]!.text).toMatch(/in \d+ portions/)
    expect(work.work.some((s) => (s.waitMinutes ?? 0) > 0)).toBe(true)
    expect(work.remarks.find((r) => r.code === 'makeup/heats-up')).toMatchObject({ danger: true })
    expect(work.work.map((s) => s.order)).toEqual(work.work.map((_, i) => i + 1))
  })

  it('nitrate of potassium cools: 34.89 kJ/mol (CRC/Parker) times 1 mol in a litre is about -8 K', () => {
    const made = good({ solutions: [solution('A', '1000 mL', 'nitrate 1 mol/L')] })
    // 34890 J / (1060 g x 3.8 J/(g K)) = 8.7 K, worked by hand
    expect(Math.abs(made.solutions[0]!.heatOfMakingK! + 8.7)).toBeLessThan(0.6)
    expect(made.work.some((s) => s.text.includes('cools the water'))).toBe(true)
  })

  it('acid and alkali in one flask: neutralisation is counted (55.8 kJ/mol, CODATA)', () => {
    const dilute: Bottle = { id: 'acid', substance: 'hydrochloric acid', strength: any('2.00 mol/L') }
    const lye: Bottle = { id: 'lye', substance: 'sodium hydroxide', strength: any('2.00 mol/L') }
    const made = good({ solutions: [solution('A', '1000 mL', 'acid 500 mL', 'lye 500 mL')], extra: [dilute, lye] })
    // 1 mol x 55.8 kJ / (1000 mL x 1.04 g/mL x 3.9 J/(g K)) = 13.8 K, and about 1 kJ of dilution; worked by hand
    expect(made.solutions[0]!.heatOfMakingK!).toBeGreaterThan(13)
    expect(made.solutions[0]!.heatOfMakingK!).toBeLessThan(15)
  })

  it('pellets go into water, never the other way', () => {
    expect(good({ solutions: [solution('A', '500 mL', 'soda 2 mol/L')] }).work.find((s) => s.text.includes('pellets'))).toMatchObject({
      danger: true,
    })
  })

  it('starch is boiled first, peroxide comes last', () => {
    const work = good({
      solutions: [
        solution('P', '500 mL', 'peroxide 2 mol/L'),
        solution('S', '500 mL', 'starch 5 g/L', 'malonic 0.1 mol/L'),
        solution('M', '100 mL', 'mn 0.1 mol/L'),
      ],
    }).work
    const solutions = work.flatMap((s) => (s.solution ? [s.solution] : []))
    expect(solutions[0]).toBe('S')
    expect(solutions.at(-1)).toBe('P')
    expect(work.some((s) => /paste/.test(s.text))).toBe(true)
    expect(work[0]!.text).toMatch(/check "peroxide"/)
    const own = work.filter((s) => s.solution === 'S').map((s) => s.text)
    expect(own.findIndex((t) => t.includes('boil'))).toBeLessThan(own.findIndex((t) => t.includes('"malonic"')))
  })

  it('sources of what was used are listed', () => {
    const made = good({ solutions: [solution('A', '500 mL', 'acid 1 mol/L')] })
    expect(made.sources.some((s) => s.source.includes('CRC Handbook'))).toBe(true)
    expect(made.sources.some((s) => s.source.includes('Felder'))).toBe(true)
  })
})

describe('shopping', () => {
  it('counts packs and price', () => {
    const packed: Bottle = { ...bottles['iodate']!, packSize: any('25 g'), price: '14.50 EUR' }
    const line = good({
      solutions: [solution('A', '500 mL', 'iodate 0.2 mol/L'), solution('B', '500 mL', 'iodate 0.1 mol/L')],
      extra: [packed],
    }).shopping[0]!
    expect(line.needG).toBeCloseTo(32.26, 1)
    expect(line.packs).toMatch(/^2 x 25 g/)
    expect(line.cost).toMatch(/^29\.00 EUR/)
  })
})
