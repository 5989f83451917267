import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import type { Substance } from '../matter/index.ts'
import { type CautionScene, type Cautions, cautionsFor, isInForce, refusals, standingLines } from './index.ts'

const hazards = facts.hazards()

/** A substance as the table would give it; entry into water written "K+ IO3-" or "2 H+ SO4^2-". */
function substance(
  name: string,
  formula: string,
  cas: string,
  molarMass: number,
  enters: string,
  form = 'crystals',
  restriction = '',
): Substance {
  const entersWater = [...enters.matchAll(/(?:(\d+) )?(\S+)/g)].map((m) => ({ species: m[2] ?? '', count: Number(m[1] ?? 1) }))
  return {
    id: name.replace(/ /g, '-'),
    name,
    formula,
    cas,
    molarMassGPerMol: molarMass,
    molarMassUncertaintyGPerMol: 0,
    form,
    colour: '',
    entersWater,
    waters: 0,
    family: name,
    otherNames: [],
    soldAs: /solution/.test(form) ? 'aqueous' : 'pure',
    grades: '',
    contaminants: '',
    restriction,
    source: 'test',
    seen: 'memory',
  }
}

const shelf = {
  iodate: [substance('potassium iodate', 'KIO3', '7758-05-6', 214, 'K+ IO3-'), 1],
  peroxide3: [substance('hydrogen peroxide', 'H2O2', '7722-84-1', 34.014, 'H2O2', 'solution'), 0.03],
  peroxide30: [
    substance(
      'hydrogen peroxide',
      'H2O2',
      '7722-84-1',
      34.014,
      'H2O2',
      'solution',
      'oxidiser; above 12 % w/w restricted explosives precursor in the EU',
    ),
    0.3,
  ],
  peroxide35: [substance('hydrogen peroxide', 'H2O2', '7722-84-1', 34.014, 'H2O2', 'solution'), 0.35],
  peroxide60: [substance('hydrogen peroxide', 'H2O2', '7722-84-1', 34.014, 'H2O2', 'solution'), 0.6],
  sulfuric: [substance('sulfuric acid', 'H2SO4', '7664-93-9', 98.08, '2 H+ SO4^2-', 'viscous liquid'), 0.96],
  dilutesulfuric: [substance('sulfuric acid', 'H2SO4', '7664-93-9', 98.08, '2 H+ SO4^2-', 'viscous liquid'), 0.09],
  hcl: [substance('hydrochloric acid', 'HCl', '7647-01-0', 36.46, 'H+ Cl-', 'fuming solution'), 0.36],
  nitric: [substance('nitric acid', 'HNO3', '7697-37-2', 63.01, 'H+ NO3-', 'solution'), 0.65],
  bleach: [substance('sodium hypochlorite solution', 'NaClO', '7681-52-9', 74.44, 'Na+ OCl-', 'solution'), 0.05],
  permanganate: [substance('potassium permanganate', 'KMnO4', '7722-64-7', 158.03, 'K+ MnO4-'), 1],
  silver: [substance('silver nitrate', 'AgNO3', '7761-88-8', 169.87, 'Ag+ NO3-'), 1],
  ammonia: [substance('ammonia solution', 'NH3', '1336-21-6', 17.03, 'NH3', 'solution'), 0.25],
  chlorite: [substance('sodium chlorite', 'NaClO2', '7758-19-2', 90.44, 'Na+ ClO2-'), 0.8],
  chlorate: [substance('potassium chlorate', 'KClO3', '3811-04-9', 122.55, 'K+ ClO3-'), 1],
  acetone: [substance('acetone', 'C3H6O', '67-64-1', 58.08, 'acetone', 'volatile liquid'), 1],
  ethanol: [substance('ethanol', 'C2H6O', '64-17-5', 46.07, 'ethanol', 'volatile liquid'), 1],
  dichromate: [substance('potassium dichromate', 'K2Cr2O7', '7778-50-9', 294.19, '2 K+ Cr2O7^2-'), 1],
  mercury: [substance('mercury(II) chloride', 'HgCl2', '7487-94-7', 271.5, 'Hg2+ 2 Cl-'), 1],
  mercuryIodide: [substance('mercury(II) iodide', 'HgI2', '7774-29-0', 454.4, 'Hg2+ 2 I-'), 1],
  thiosulfate: [substance('sodium thiosulfate pentahydrate', 'Na2S2O3·5H2O', '10102-17-7', 248.18, '2 Na+ S2O3^2- 5 H2O'), 1],
  glucose: [substance('D-glucose', 'C6H12O6', '50-99-7', 180.16, 'GLC'), 1],
  glycerol: [substance('glycerol', 'C3H8O3', '56-81-5', 92.09, 'glycerol', 'syrup'), 1],
  iodide: [substance('potassium iodide', 'KI', '7681-11-0', 166, 'K+ I-'), 1],
  iodine: [substance('iodine', 'I2', '7553-56-2', 253.81, 'I2'), 1],
  bromate: [substance('potassium bromate', 'KBrO3', '7758-01-2', 167, 'K+ BrO3-'), 1],
  bromide: [substance('potassium bromide', 'KBr', '7758-02-3', 119, 'K+ Br-'), 1],
  ammoniumCerium: [substance('ammonium cerium(IV) nitrate', '(NH4)2Ce(NO3)6', '16774-21-3', 548.2, '2 NH4+ Ce4+ 6 NO3-'), 1],
  oxalic: [substance('oxalic acid', 'H2C2O4', '144-62-7', 90.03, 'H2C2O4'), 1],
  malonic: [substance('malonic acid', 'C3H4O4', '141-82-2', 104.06, 'MA'), 1],
  manganese: [substance('manganese(II) sulfate monohydrate', 'MnSO4·H2O', '10034-96-5', 169.01, 'Mn2+ SO4^2- H2O'), 1],
  thiocyanate: [substance('potassium thiocyanate', 'KSCN', '333-20-0', 97.18, 'K+ SCN-'), 1],
  formaldehyde: [substance('formaldehyde solution', 'CH2O', '50-00-0', 30.03, 'CH2O', 'solution'), 0.37],
  soda: [substance('sodium hydroxide', 'NaOH', '1310-73-2', 40, 'Na+ OH-'), 1],
  dye: [substance('methylene blue', 'C16H18ClN3S', '61-73-4', 319.85, 'MB+ Cl-', 'solution'), 0.001],
  nitrite: [substance('sodium nitrite', 'NaNO2', '7632-00-0', 69, 'Na+ NO2-'), 1],
  ammonium: [substance('ammonium chloride', 'NH4Cl', '12125-02-9', 53.49, 'NH4+ Cl-'), 1],
  bromine: [substance('bromine', 'Br2', '7726-95-6', 159.81, 'Br2', 'volatile liquid'), 0.99],
  perchloric: [substance('perchloric acid', 'HClO4', '7601-90-3', 100.46, 'H+ ClO4-', 'solution'), 0.7],
  unknown: [substance('sodium stannate', 'Na2SnO3', '12058-66-1', 212.7, '2 Na+'), 1],
} as const satisfies Record<string, readonly [Substance, number]>
type Shelf = keyof typeof shelf
const isShelf = (id: string): id is Shelf => id in shelf
const shelfIds = Object.keys(shelf).filter(isShelf)

/** Solutions as "mol/L of bottle"; vessels as pours "solution litres", in order. */
interface Sketch {
  readonly solutions?: Record<string, Partial<Record<Shelf, number>>>
  readonly litres?: number
  readonly pours?: readonly (readonly [string, number])[]
  readonly bottles?: readonly Shelf[]
  readonly capacityL?: number | null
  readonly closed?: boolean
  readonly shaken?: boolean
  /** Temperature of every pour, degC. */
  readonly celsius?: number
  readonly heldBefore?: readonly string[]
  readonly room?: number | null
  readonly controls?: Record<string, string>
}

function scene(sketch: Sketch): CautionScene {
  const litres = sketch.litres ?? 0.1
  const solutions = Object.entries(sketch.solutions ?? {}).map(([id, made]) => {
    const amountsMol: Record<string, number> = {}
    const ingredients = shelfIds.flatMap((bottle) => {
      const c = made[bottle]
      if (c === undefined) return []
      for (const e of shelf[bottle][0].entersWater) amountsMol[e.species] = (amountsMol[e.species] ?? 0) + e.count * c * litres
      return [{ bottle, amountMol: c * litres }]
    })
    return { id, volumeL: litres, massG: litres * 1000, amountsMol, ingredients }
  })
  const ids = [...new Set([...(sketch.bottles ?? []), ...solutions.flatMap((s) => s.ingredients.map((i) => i.bottle))])]
  return {
    bottles: ids.map((id) => {
      const [what, massFraction] = shelf[id]
      const liquid = /solution|liquid|syrup/.test(what.form)
      return { id, substance: what, massFraction, molPerL: liquid ? (massFraction * 1000) / what.molarMassGPerMol : null, solid: !liquid }
    }),
    solutions,
    vessels:
      sketch.pours === undefined
        ? []
        : [
            {
              id: 'jar',
              capacityL: sketch.capacityL === undefined ? 2 : sketch.capacityL,
              count: 1,
              pours: sketch.pours.map(([solution, volumeL], atS) => ({
                solution,
                volumeL,
                atS,
                ...(sketch.celsius === undefined ? {} : { temperatureK: 273.15 + sketch.celsius }),
              })),
              closed: sketch.closed ?? false,
              shaken: sketch.shaken ?? false,
              heldBefore: sketch.heldBefore ?? [],
            },
          ],
    room: { temperatureK: 298.15, volumeM3: sketch.room === undefined ? 100 : sketch.room },
    controls: sketch.controls ?? {},
  }
}

function cautions(sketch: Sketch): Cautions {
  const outcome = cautionsFor(scene(sketch), hazards)
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems))
  return outcome.value
}
const codes = (c: Cautions): readonly string[] => c.list.map((x) => x.code)
const inForce = (c: Cautions): readonly string[] => [...new Set(c.list.filter(isInForce).map((x) => x.code))].sort()

/** Two solutions poured together. */
const poured = (a: Partial<Record<Shelf, number>>, b: Partial<Record<Shelf, number>>): Sketch => ({
  solutions: { A: a, B: b },
  pours: [
    ['A', 0.05],
    ['B', 0.05],
  ],
})

describe('refused by default', () => {
  const refused: readonly (readonly [string, Sketch, string, 'liftable' | 'never'])[] = [
    ['hypochlorite with acid', poured({ bleach: 0.2 }, { dilutesulfuric: 0.1 }), 'cautions/hypochlorite-acid', 'never'],
    ['hypochlorite with ammonia', poured({ bleach: 0.2 }, { ammonia: 0.1 }), 'cautions/hypochlorite-ammonia', 'never'],
    [
      'permanganate with concentrated sulfuric acid',
      poured({ permanganate: 0.01 }, { sulfuric: 9 }),
      'cautions/permanganate-sulfuric',
      'never',
    ],
    [
      'permanganate crystals and concentrated sulfuric acid for one solution',
      { solutions: { A: { permanganate: 0.01, sulfuric: 0.5 } } },
      'cautions/permanganate-sulfuric-making',
      'liftable',
    ],
    [
      'permanganate crystals and glycerol',
      { solutions: { A: { permanganate: 0.1, glycerol: 1 } } },
      'cautions/permanganate-glycerol',
      'never',
    ],
    ['ammonia with silver', poured({ silver: 0.1 }, { ammonia: 0.5 }), 'cautions/silver-ammonia', 'liftable'],
    ['more than 50 mL ammoniacal silver', poured({ silver: 0.1 }, { ammonia: 0.5 }), 'cautions/silver-ammonia-bulk', 'never'],
    ['chlorite in bulk with acid', poured({ chlorite: 0.1 }, { dilutesulfuric: 0.1 }), 'cautions/chlorite-acid-bulk', 'never'],
    ['dilute chlorite with acid', poured({ chlorite: 0.01 }, { dilutesulfuric: 0.1 }), 'cautions/chlorite-acid', 'liftable'],
    ['chlorite with hypochlorite', poured({ chlorite: 0.01 }, { bleach: 0.1 }), 'cautions/chlorite-hypochlorite', 'liftable'],
    ['chlorate with concentrated sulfuric acid', poured({ chlorate: 0.01 }, { sulfuric: 9 }), 'cautions/chlorate-sulfuric', 'never'],
    ['chlorate in bulk with strong acid', poured({ chlorate: 0.5 }, { dilutesulfuric: 1.5 }), 'cautions/chlorate-acid-bulk', 'never'],
    [
      'acetone, strong peroxide and acid',
      poured({ acetone: 0.5, dilutesulfuric: 0.1 }, { peroxide30: 8 }),
      'cautions/peroxide-ketone-acid',
      'never',
    ],
    [
      'acetone, 4 % peroxide and acid',
      poured({ acetone: 0.5, dilutesulfuric: 0.1 }, { peroxide30: 2.35 }),
      'cautions/peroxide-ketone-acid-dilute',
      'never',
    ],
    [
      'acetone, peroxide and acid at some mmol/L',
      poured({ acetone: 0.01, dilutesulfuric: 0.01 }, { peroxide3: 0.01 }),
      'cautions/peroxide-ketone-acid-dilute',
      'never',
    ],
    ['acetone with strong peroxide, no acid', poured({ acetone: 2 }, { peroxide30: 8 }), 'cautions/peroxide-ketone', 'never'],
    [
      '1 mol/L hydrochloric acid with 3 mol/L peroxide',
      poured({ hcl: 1 }, { peroxide30: 3 }),
      'cautions/peroxide-hydrochloric-strong',
      'liftable',
    ],
    ['iodate in strong hydrochloric acid', poured({ iodate: 0.1 }, { hcl: 3 }), 'cautions/iodate-hydrochloric-strong', 'liftable'],
    [
      'hot permanganate and oxalate',
      { ...poured({ permanganate: 0.02 }, { oxalic: 0.1, dilutesulfuric: 0.5 }), celsius: 65 },
      'cautions/hot-oxalate-permanganate',
      'liftable',
    ],
    [
      'warm peroxide with a catalyst',
      { ...poured({ peroxide3: 0.88 * 1.4 }, { iodide: 0.2 }), celsius: 45 },
      'cautions/hot-peroxide-catalyst',
      'liftable',
    ],
    [
      'thiocyanate in warm dilute acid',
      { ...poured({ thiocyanate: 0.01 }, { dilutesulfuric: 0.1 }), celsius: 50 },
      'cautions/cyanide-acid-hot',
      'never',
    ],
    [
      'a foaming cylinder full to four fifths',
      { ...poured({ peroxide3: 0.88 }, { iodide: 0.2 }), capacityL: 0.12 },
      'cautions/foams-over',
      'liftable',
    ],
    [
      'a closed vessel with peroxide',
      { ...poured({ peroxide3: 0.5 }, { iodide: 0.1 }), capacityL: 0.2, closed: true },
      'cautions/closed-vessel-bursts',
      'never',
    ],
    [
      'a closed vessel with very little gas to come',
      { ...poured({ peroxide3: 0.02 }, { iodide: 0.01 }), capacityL: 0.2, closed: true },
      'cautions/closed-vessel-pressure',
      'liftable',
    ],
    ['strong peroxide and concentrated sulfuric acid', poured({ sulfuric: 9 }, { peroxide30: 8 }), 'cautions/peroxide-sulfuric', 'never'],
    [
      '30 % peroxide and concentrated acid for one solution',
      { solutions: { A: { peroxide30: 1, sulfuric: 0.1 } } },
      'cautions/peroxide-sulfuric-making',
      'liftable',
    ],
    ['peroxide above 30 %', { bottles: ['peroxide35'] }, 'cautions/peroxide-over-30', 'liftable'],
    ['peroxide above 50 %', { bottles: ['peroxide60'] }, 'cautions/peroxide-over-50', 'never'],
    ['dichromate', { bottles: ['dichromate'] }, 'cautions/chromium-vi', 'liftable'],
    ['mercury chloride', { bottles: ['mercury'] }, 'cautions/mercury', 'never'],
    ['any formula with mercury', { bottles: ['mercuryIodide'] }, 'cautions/mercury', 'never'],
    [
      'dry oxidiser with dry reductant',
      { solutions: { A: { iodate: 0.1, thiosulfate: 0.1 } } },
      'cautions/dry-oxidiser-reductant',
      'liftable',
    ],
    ['dry oxidiser with sugar', { solutions: { A: { permanganate: 0.1, glucose: 0.1 } } }, 'cautions/dry-oxidiser-organic', 'liftable'],
    [
      'bromate with an ammonium salt, dry',
      { solutions: { A: { bromate: 0.1, ammoniumCerium: 0.01 } } },
      'cautions/bromate-ammonium-dry',
      'liftable',
    ],
    [
      'bromate, bromide and acid',
      poured({ bromate: 0.1, bromide: 0.05 }, { dilutesulfuric: 0.5 }),
      'cautions/bromate-bromide-acid',
      'liftable',
    ],
    ['iodine with ammonia', poured({ iodine: 0.001 }, { ammonia: 1 }), 'cautions/iodine-ammonia', 'never'],
    [
      'thiocyanate, peroxide and acid',
      poured({ thiocyanate: 0.01, dilutesulfuric: 0.05 }, { peroxide3: 0.3 }),
      'cautions/peroxide-thiocyanate-acid',
      'never',
    ],
    ['thiocyanate in strong acid', poured({ thiocyanate: 0.01 }, { dilutesulfuric: 1.5 }), 'cautions/cyanide-acid', 'never'],
    ['formaldehyde with hydrochloric acid', poured({ formaldehyde: 0.1 }, { hcl: 0.1 }), 'cautions/formaldehyde-hydrochloric', 'never'],
    [
      'silver nitrate, nitric acid and alcohol',
      poured({ silver: 0.1, nitric: 1 }, { ethanol: 2 }),
      'cautions/silver-alcohol-nitric',
      'never',
    ],
    ['strong nitric acid with alcohol', poured({ nitric: 7 }, { ethanol: 2 }), 'cautions/nitric-organic', 'never'],
    ['permanganate with hydrochloric acid', poured({ permanganate: 0.1 }, { hcl: 4 }), 'cautions/oxidiser-chloride-acid-bulk', 'liftable'],
    [
      'strong peroxide with strong hydrochloric acid',
      poured({ peroxide30: 4 }, { hcl: 6 }),
      'cautions/peroxide-hydrochloric-strong',
      'liftable',
    ],
    ['peroxide with bleach', poured({ peroxide30: 1 }, { bleach: 0.5 }), 'cautions/peroxide-hypochlorite-strong', 'liftable'],
    ['nitrite with acid', poured({ nitrite: 0.2 }, { dilutesulfuric: 0.2 }), 'cautions/nitrite-acid-bulk', 'liftable'],
    ['nitrite with ammonium', poured({ nitrite: 2 }, { ammonium: 2 }), 'cautions/nitrite-ammonium-bulk', 'liftable'],
    ['perchloric acid with alcohol', poured({ perchloric: 7 }, { ethanol: 2 }), 'cautions/perchloric-organic', 'never'],
    ['concentrated sulfuric acid poured', poured({ sulfuric: 17 }, { iodide: 0.1 }), 'cautions/concentrated-acid-poured', 'liftable'],
    ['strong acid onto strong alkali', poured({ soda: 16 }, { hcl: 12 }), 'cautions/neutralisation-heat', 'liftable'],
    [
      'iodine that would fill the room',
      { ...poured({ iodate: 0.2 }, { iodide: 1, hcl: 1 }), room: 1 },
      'cautions/vapour-iodine',
      'liftable',
    ],
    ['liquid bromine', { bottles: ['bromine'] }, 'cautions/bromine-liquid', 'liftable'],
    ['permanganate in strong peroxide', poured({ permanganate: 0.1 }, { peroxide30: 8 }), 'cautions/peroxide-boils', 'liftable'],
    ['peroxide that can boil the vessel', poured({ peroxide30: 8 }, { iodide: 1 }), 'cautions/peroxide-boils', 'liftable'],
  ]
  for (const [name, sketch, code, lifts] of refused) {
    it(`${name}: ${lifts}`, () => {
      const bare = cautions(sketch)
      expect(inForce(bare)).toContain(code)
      expect(bare.refused).toBe(true)
      const controls = Object.fromEntries(inForce(bare).map((c) => [c, 'Done in a closed hood by the safety officer, 5 mL at most.']))
      const stated = cautions({ ...sketch, controls })
      const still = stated.list.find((c) => c.code === code)
      expect(still, 'the caution itself never goes away').toBeDefined()
      expect(still?.control).toContain('safety officer')
      expect(inForce(stated).includes(code)).toBe(lifts === 'never')
      if (lifts === 'never') expect(still?.neverLifted?.length).toBeGreaterThan(20)
    })
  }
  it('covers every code that refuses in the rule table', () => {
    const tested = new Set(refused.map(([, , code]) => code))
    const table = new Set(hazards.rules.filter((r) => r.refuses !== 'no').map((r) => r.code))
    expect([...table].filter((c) => !tested.has(c))).toEqual([])
  })
  it('is not lifted by an empty word, and says so', () => {
    const outcome = cautionsFor(scene({ bottles: ['dichromate'], controls: { 'cautions/chromium-vi': 'ok' } }), hazards)
    expect(outcome.ok && outcome.value.refused).toBe(true)
    expect(outcome.ok && outcome.warnings.map((w) => w.code)).toEqual(['cautions/control-says-nothing'])
  })
  it('names a control measure for something that is not refused, with the nearest name', () => {
    const outcome = cautionsFor(
      scene({ bottles: ['dichromate'], controls: { 'cautions/chromium-v': 'a hood and a sign on the door' } }),
      hazards,
    )
    expect(outcome.ok && outcome.warnings[0]?.code).toBe('cautions/control-for-nothing')
    expect(outcome.ok && outcome.warnings[0]?.todo).toContain('cautions/chromium-vi')
  })
  it('comes as problems with danger first and what to write', () => {
    const [problem] = refusals(cautions({ bottles: ['dichromate'] }))
    expect(problem).toMatchObject({ code: 'cautions/chromium-vi', danger: true })
    expect(problem?.todo).toContain('controls')
  })
})

describe('not refused', () => {
  const quiet: readonly (readonly [string, Sketch])[] = [
    [
      'the iodate-peroxide-malonic acid oscillator',
      {
        solutions: { A: { iodate: 0.2, dilutesulfuric: 0.08 }, B: { malonic: 0.15, manganese: 0.02 }, C: { peroxide30: 3.6 } },
        pours: [
          ['A', 0.1],
          ['B', 0.1],
          ['C', 0.1],
        ],
      },
    ],
    ['permanganate in dilute acid with oxalic-like acid', poured({ permanganate: 0.002 }, { malonic: 0.1, dilutesulfuric: 0.5 })],
    ['a peroxide clock', poured({ peroxide3: 0.1, dilutesulfuric: 0.1 }, { iodide: 0.05, thiosulfate: 0.005 })],
    ['permanganate fading in acid oxalate', poured({ permanganate: 0.01 }, { malonic: 0.1, dilutesulfuric: 0.5 })],
    ['acid and alkali of school strength', poured({ soda: 1 }, { hcl: 1 })],
    ['glucose in alkali', { solutions: { A: { glucose: 0.1, soda: 0.5 } }, pours: [['A', 0.1]] }],
    ['warm water into a warm dilute permanganate', { ...poured({ permanganate: 0.002 }, { oxalic: 0.05 }), celsius: 38 }],
    ['blue bottle, stoppered and shaken', { ...poured({ glucose: 0.4 }, { soda: 1 }), closed: true, shaken: true, capacityL: 0.3 }],
    ['iodate with dilute hydrochloric acid', poured({ iodate: 0.02 }, { hcl: 0.2 })],
    ['bleach and acid only side by side on the shelf', { bottles: ['bleach', 'dilutesulfuric'] }],
  ]
  for (const [name, sketch] of quiet) it(name, () => expect(inForce(cautions(sketch))).toEqual([]))

  it('still says on the shelf that bleach and acid stay apart', () => {
    expect(codes(cautions({ bottles: ['bleach', 'dilutesulfuric'] }))).toContain('cautions/hypochlorite-acid-shelf')
  })
  it('acid that alkali has used up is no acid', () => {
    expect(codes(cautions(poured({ thiosulfate: 0.1 }, { dilutesulfuric: 0.05, soda: 0.2 })))).not.toContain('cautions/thiosulfate-acid')
    expect(codes(cautions(poured({ thiosulfate: 0.1 }, { dilutesulfuric: 0.05 })))).toContain('cautions/thiosulfate-acid')
  })
})

describe('surplus from the bottles with clearing reagents', () => {
  const about = (c: Cautions) => c.list.filter((x) => x.about.startsWith('surplus')).map((x) => x.code)
  it('dry oxidiser with dry thiosulfate, strong peroxide with it, bleach with nothing acid', () => {
    expect(about(cautions({ bottles: ['iodate'] }))).toContain('cautions/dry-oxidiser-reductant-clearing')
    expect(about(cautions({ bottles: ['peroxide30'] }))).toContain('cautions/thiosulfate-peroxide-clearing')
    expect(about(cautions({ bottles: ['sulfuric'] }))).toEqual(
      expect.arrayContaining(['cautions/thiosulfate-acid-clearing', 'cautions/sulfite-acid-clearing']),
    )
  })
  it('says nothing where there is nothing', () => {
    expect(about(cautions({ bottles: ['glucose', 'soda'] }))).toEqual([])
  })
})

describe('every output', () => {
  it('is headed by the standing lines, whatever is in it', () => {
    expect(cautions({}).standing).toEqual(standingLines)
    expect(cautions(poured({ iodate: 0.2 }, { iodide: 1 })).standing.slice(0, standingLines.length)).toEqual(standingLines)
    expect(standingLines.join(' ')).toMatch(/Goggles[\s\S]*3 m or more[\s\S]*Acid into water[\s\S]*local authority/)
  })
  it('has refusals in force first, then by severity', () => {
    const list = cautions({ bottles: ['iodide', 'dichromate', 'peroxide3'] }).list
    expect(list[0]?.code).toBe('cautions/chromium-vi')
    const rest = list.filter((c) => !isInForce(c)).map((c) => c.severity)
    expect(rest).toEqual([...rest].sort((a, b) => b - a))
  })
  it('survives JSON', () => {
    const c = cautions({ bottles: ['dichromate'] })
    expect(JSON.parse(JSON.stringify(c))).toEqual(c)
  })
})

describe('bottles and solutions', () => {
  const about = (c: Cautions, bottle: string, code = 'cautions/bottle-hazard') =>
    c.list.find((x) => x.about === `bottle "${bottle}"` && x.code === code)
  it('3 % peroxide carries no class, 30 % does (harmonised limits, READ R-H2O2)', () => {
    expect(about(cautions({ bottles: ['peroxide3'] }), 'peroxide3')?.what).toContain('not classified')
    expect(about(cautions({ bottles: ['peroxide30'] }), 'peroxide30')?.what).toMatch(/Danger.*H318.*H272/s)
  })
  it('a hydrate is found through its own CAS number', () => {
    expect(about(cautions({ bottles: ['manganese'] }), 'manganese')?.what).toContain('H411')
  })
  it('an unknown substance is not called harmless', () => {
    expect(about(cautions({ bottles: ['unknown'] }), 'unknown', 'cautions/hazards-unknown')?.severity).toBe(2)
  })
  it('asks about a licence only above the strength the note names', () => {
    expect(about(cautions({ bottles: ['peroxide30'] }), 'peroxide30', 'cautions/may-need-licence')?.instead).toContain('ask your authority')
    expect(about(cautions({ bottles: ['peroxide3'] }), 'peroxide3', 'cautions/may-need-licence')).toBeUndefined()
  })
  it('a weak dye solution does not carry the label of the powder (EYE-1: 0.1 % is under 1 %)', () => {
    const made = cautions({ solutions: { A: { dye: 0.003 } } })
    expect(about(made, 'dye')?.what).toContain('not classified')
    expect(made.list.filter((x) => x.code === 'cautions/solution-hazard')).toEqual([])
  })
  it('sulfuric acid by its strength: 0.3 mol/L nothing, 1.2 mol/L irritant, 3 mol/L burns (READ R-FIacids)', () => {
    const at = (c: number) =>
      cautions({ solutions: { A: { sulfuric: c } } }).list.find((x) => x.code === 'cautions/solution-hazard')?.what ?? ''
    expect(at(0.3)).toBe('')
    expect(at(1.2)).toContain('H315')
    expect(at(3)).toContain('H314')
  })
})

describe('bad input', () => {
  const refusedFor = (change: (s: CautionScene) => CautionScene): readonly string[] => {
    const o = cautionsFor(change(scene(poured({ iodate: 0.1 }, { iodide: 0.1 }))), hazards)
    return o.ok ? [] : o.problems.map((p) => p.code)
  }
  it('collects every number that is none', () => {
    expect(refusedFor((s) => ({ ...s, room: { temperatureK: Number.NaN, volumeM3: -3 } }))).toEqual([
      'cautions/not-an-amount',
      'cautions/not-an-amount',
    ])
    expect(refusedFor((s) => ({ ...s, bottles: s.bottles.map((b) => ({ ...b, massFraction: 2 })) }))).toHaveLength(2)
    expect(refusedFor((s) => ({ ...s, solutions: s.solutions.map((x) => ({ ...x, volumeL: 0 })) }))).toHaveLength(2)
    expect(
      refusedFor((s) => ({
        ...s,
        vessels: [{ id: 'jar', capacityL: 1, count: 1, pours: [{ solution: 'C', volumeL: Number.POSITIVE_INFINITY, atS: 0 }] }],
      })),
    ).toEqual(['cautions/not-an-amount', 'cautions/unknown-solution'])
  })
})
