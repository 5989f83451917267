/** Vessels that are closed, shaken, warm or not rinsed; what is carried in one crate; extreme pH; protection lines. */
import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { type CautionScene, cautionsFor, gaugeBar, phAndReserve } from './index.ts'
import { contentOfSolution } from './contents.ts'

const hazards = facts.hazards()
const { substances } = facts.matter()
const equilibria = facts.equilibria()

const named = (name: string) => {
  const found = substances.find((s) => s.name === name)
  if (!found) throw new Error(`no substance ${name}`)
  return found
}

/** Solutions as "mol/L of substance"; one vessel that takes 50 mL of each in order. */
function sceneWith(solutions: Record<string, Record<string, number>>, vessel: Partial<CautionScene['vessels'][number]> = {}): CautionScene {
  const used = [...new Set(Object.values(solutions).flatMap((s) => Object.keys(s)))]
  return {
    bottles: used.map((name) => {
      const substance = named(name)
      const liquid = /solution|liquid|syrup/.test(substance.form)
      const massFraction = liquid ? 0.3 : 1
      return {
        id: name,
        substance,
        massFraction,
        molPerL: liquid ? (massFraction * 1000) / substance.molarMassGPerMol : null,
        solid: !liquid,
      }
    }),
    solutions: Object.entries(solutions).map(([id, made]) => {
      const amountsMol: Record<string, number> = {}
      for (const [name, c] of Object.entries(made)) {
        for (const e of named(name).entersWater) amountsMol[e.species] = (amountsMol[e.species] ?? 0) + e.count * c * 0.1
      }
      return {
        id,
        volumeL: 0.1,
        massG: 100,
        amountsMol,
        ingredients: Object.entries(made).map(([bottle, c]) => ({ bottle, amountMol: c * 0.1 })),
      }
    }),
    vessels: [
      {
        id: 'jar',
        capacityL: 1,
        count: 1,
        pours: Object.keys(solutions).map((solution, i) => ({ solution, volumeL: 0.05, atS: i })),
        ...vessel,
      },
    ],
    room: { temperatureK: 293.15, volumeM3: 100 },
    controls: {},
  }
}
const list = (scene: CautionScene) => {
  const got = cautionsFor(scene, hazards, { equilibria })
  if (!got.ok) throw new Error(JSON.stringify(got.problems))
  return got.value
}
const codes = (scene: CautionScene): readonly string[] => list(scene).list.map((c) => c.code)
const iodide = { 'potassium iodide': 0.2 }
const peroxide = { 'hydrogen peroxide': 0.02 }

describe('closed', () => {
  it('pressure by hand: 0.1 L of gas into 0.4 L is a quarter of an atmosphere', () => expect(gaugeBar(0.1, 0.6, 1)).toBeCloseTo(0.2533, 3))
  it('a full vessel does not divide by nothing', () => expect(Number.isFinite(gaugeBar(1, 1, 1))).toBe(true))
  it('peroxide without a catalyst counts too: it has all night', () => {
    expect(codes(sceneWith({ A: { 'hydrogen peroxide': 0.5 } }, { closed: true, capacityL: 0.1 }))).toContain(
      'cautions/closed-vessel-bursts',
    )
  })
  it('says nothing of pressure where no gas forms', () => {
    const found = codes(sceneWith({ A: iodide }, { closed: true }))
    expect(found.filter((c) => c.startsWith('cautions/closed'))).toEqual([])
  })
  it('warns of a warm stoppered liquid', () => {
    const pours = [{ solution: 'A', volumeL: 0.05, atS: 0, temperatureK: 333.15 }]
    expect(codes(sceneWith({ A: iodide }, { closed: true, pours }))).toEqual(
      expect.arrayContaining(['cautions/closed-warm', 'cautions/hot-liquid']),
    )
  })
})

describe('shaken', () => {
  const alkali = { A: { 'sodium hydroxide': 0.5 } }
  it('alkali behind a stopper is graver than salt water', () => {
    const of = (made: Record<string, Record<string, number>>) =>
      list(sceneWith(made, { shaken: true, closed: true })).list.find((c) => c.code === 'cautions/shaken-closed')?.severity
    expect(of(alkali)).toBe(3)
    expect(of({ A: iodide })).toBe(2)
  })
  it('open it splashes', () => expect(codes(sceneWith({ A: iodide }, { shaken: true }))).toContain('cautions/shaken-open'))
})

describe('history and crate', () => {
  it('what clings to an unrinsed vessel meets the first pour', () => {
    const acid = { 'sulfuric acid': 0.1 }
    const bleach = { 'sodium hypochlorite solution': 0.3 }
    const clean = sceneWith({ A: acid, B: bleach }, { pours: [{ solution: 'A', volumeL: 0.05, atS: 0 }] })
    expect(codes(clean)).not.toContain('cautions/hypochlorite-acid')
    const held = list({ ...clean, vessels: clean.vessels.map((v) => ({ ...v, heldBefore: ['B'] })) })
    const ofResidue = held.list.filter((c) => /what is left of/.test(c.what))
    expect(ofResidue.length).toBeGreaterThan(0)
    for (const c of ofResidue) expect(c.instead).toMatch(/^Rinse the vessel out with much water/)
    expect(held.list.find((c) => c.code === 'cautions/hypochlorite-acid')?.what).toContain('what is left of')
    expect(held.refused).toBe(true)
  })
  it('solutions of one demonstration travel apart where they must', () => {
    const found = list(sceneWith({ A: { 'hydrogen peroxide': 2 }, B: iodide })).list.filter((c) => c.about === 'one crate on the way')
    expect(found.map((c) => c.code)).toContain('cautions/peroxide-catalyst-crate')
  })
})

describe('classes with their rule', () => {
  it('every class of every liquid names rule, paragraph and numbers', () => {
    const labelled = list(
      sceneWith({ A: { 'potassium iodate': 0.27, 'sulfuric acid': 0.1 }, B: { 'copper(II) sulfate pentahydrate': 0.5 } }),
    ).list.flatMap((c) => (c.code === 'cautions/bottle-hazard' ? [] : (c.label?.classes ?? [])))
    expect(labelled.length).toBeGreaterThan(4)
    for (const c of labelled) {
      expect(hazards.mixtureRules[c.rule], c.rule).toBeDefined()
      expect(c.paragraph).not.toBe('')
      expect(c.numbers).toMatch(/\d/)
    }
  })
  it('the mixture of all pours is weaker than what is poured, and is classed as such', () => {
    const all = list(sceneWith({ A: { 'sulfuric acid': 0.9 }, B: iodide })).list
    expect(
      all.find((c) => c.about === 'solution "A"' && c.code === 'cautions/solution-hazard')?.label?.classes.map((c) => c.statement),
    ).toEqual(['H315', 'H319'])
    expect(
      all.find((c) => c.about === 'vessel "jar"' && c.code === 'cautions/mixture-hazard')?.label?.classes.map((c) => c.statement),
    ).not.toContain('H315')
  })
  it('the jug of two vessels is classed', () => {
    const scene = sceneWith({ A: { 'copper(II) sulfate pentahydrate': 1 } })
    const two = { ...scene, vessels: [...scene.vessels, ...scene.vessels.map((v) => ({ ...v, id: 'other' }))] }
    expect(codes(two)).toContain('cautions/jug-hazard')
  })
})

describe('extreme pH', () => {
  it('0.05 mol/L sulfuric acid: no class by its limit, extreme by its pH, small reserve (G8)', () => {
    const caution = list(sceneWith({ A: { 'sulfuric acid': 0.05 } })).list.find(
      (c) => c.code === 'cautions/extreme-ph' && c.about === 'solution "A"',
    )
    expect(caution?.severity).toBe(2)
    expect(caution?.what).toContain('Its reserve is small')
    expect(caution?.numbers).toContain('PH-3')
  })
  it('reserve of 0.1 mol/L sodium hydroxide: 0.4 g a 100 g (G9), by titration to pH 10', () => {
    const scene = sceneWith({ A: { 'sodium hydroxide': 0.1 } })
    const liquid = contentOfSolution(scene.solutions[0]!, new Map(scene.bottles.map((b) => [b.id, b])))
    const found = phAndReserve(liquid, 298.15, hazards, equilibria)
    expect(found.isSettled).toBe(true)
    expect(found.pH).toBeGreaterThan(12.7)
    expect(found.reserveG).toBeCloseTo(0.4, 2)
    expect(phAndReserve(liquid, 298.15, hazards).reserveG).toBeCloseTo(0.4, 2)
  })
  it('says nothing where the class says it burns, nor in between', () => {
    const of = (made: Record<string, number>) => list(sceneWith({ A: made })).list.filter((c) => c.code === 'cautions/extreme-ph')
    expect(of({ 'sulfuric acid': 3 })).toEqual([])
    expect(of(iodide)).toEqual([])
  })
})

describe('protection lines', () => {
  it('name the standard, the first aid and the spill for what is there, and say what is from memory', () => {
    const said = list(sceneWith({ A: { 'potassium iodate': 0.2, 'sulfuric acid': 0.1 }, B: iodide })).standing.join('\n')
    expect(said).toMatch(/EN 166 mark 3/)
    expect(said).toMatch(/EN 166 mark 5/)
    expect(said).toMatch(/Spill: Iodine/)
    expect(said).toMatch(/lungs can swell/)
    expect(said).toMatch(/\[memory\]/)
    expect(said).not.toMatch(/letter K/)
    expect(list(sceneWith({ A: { 'sodium hydroxide': 1 } })).standing.join('\n')).toMatch(/Hands: .*letter K/)
  })
  it('are few where little is there', () => {
    const quiet = list(sceneWith({ A: { 'sodium chloride': 0.1 } })).standing
    expect(quiet.length).toBe(list({ ...sceneWith({}), vessels: [] }).standing.length)
  })
  it('peroxide alone asks for no halogen line', () => {
    expect(list(sceneWith({ A: peroxide })).standing.join(' ')).not.toContain('lungs can swell')
  })
})
