import { readFileSync } from 'node:fs'
import { facts } from '@beakertide/data'
import { editText } from '@beakertide/demonstration'
import { describe, expect, it } from 'vitest'
import type { DocumentText } from '../contract.ts'
import { dayCalls } from './day-calls.ts'
import { houseOf } from './house.ts'
import { shelfCalls } from './shelf-calls.ts'

const house = houseOf(facts)
const calls = shelfCalls(house)
const example = (name: string): DocumentText => ({
  text: readFileSync(new URL(`../../../../../examples/right/${name}.yaml`, import.meta.url), 'utf8'),
  beside: {},
})
const tide = example('tide-in-a-jar')

describe('the calls of the shelf', () => {
  it('look at bottles: strength in every form, what perishes, what it does, and what must not meet', () => {
    const look = calls.lookAtBottles(
      [
        { id: 'b1', written: { substance: 'hydrogen peroxide', strength: '10 volumes' } },
        { id: 'b2', written: { substance: 'manganese(II) sulfate' } },
        { id: 'b3', written: { substance: 'sulfuric acid', strength: '96 % w/w' } },
        { id: 'b4', written: { substance: 'potassium chlorate' } },
      ],
      20,
    )
    const [peroxide, manganese, acid] = look.bottles
    // "10 volumes" is 3.0 % w/v and 0.89 mol/L (label equivalence of pharmacopoeias, memory).
    expect(peroxide!.content!.molPerL!.value).toBeCloseTo(0.892, 2)
    expect(peroxide!.content!.gPerL!.value).toBeCloseTo(30.4, 0)
    expect(peroxide!.content!.perishes?.why).toContain('peroxide')
    expect(peroxide!.content!.assays).toEqual(['permanganate', 'iodometric', 'oxygen volume'])
    expect(manganese!.content).toBeNull()
    expect(manganese!.problems[0]?.todo).toContain('hydrate')
    // 96 % sulfuric acid: 18.0 mol/L, 1.84 g/mL (label of a reagent bottle, memory).
    expect(acid!.content!.molPerL!.value).toBeCloseTo(18.0, 0)
    expect(acid!.label).toMatchObject({ signalWord: 'Danger' })
    expect(acid!.label!.statements.some((s) => s.code.startsWith('H314') && s.text !== '')).toBe(true)
    expect(look.danger.length).toBeGreaterThan(0)
  })
  it('say an assay’s strength with its uncertainty', () => {
    // 34.2 - 0.05 mL of 0.02 mol/L permanganate for 5 mL of a 25-fold dilution: 34.15 * 0.02 * 2.5 / 5 * 25 = 8.54 mol/L.
    const assay = {
      by: 'permanganate',
      take: '10 mL',
      'dilute to': '250 mL',
      aliquot: '5 mL',
      titrant: '0.02 mol/L',
      used: '34.2 mL',
      blank: '0.05 mL',
    }
    const [look] = calls.lookAtBottles(
      [{ id: 'x', written: { substance: 'hydrogen peroxide', strength: '27.5 % w/w', assay } }],
      20,
    ).bottles
    expect(look!.content!.assayed).toBe(true)
    expect(look!.content!.molPerL!.value).toBeCloseTo(8.54, 2)
    expect(look!.content!.molPerL!.u).toBeGreaterThan(0.01)
  })
  it('scale a recipe as edits that read back as the scaled recipe', () => {
    const scaled = calls.scale(tide, { vesselVolumeL: 1.5, numberOfVessels: 2 })
    if (!scaled.ok) throw new Error('it must scale')
    const edited = editText(tide.text, scaled.value.edits)
    if (!edited.ok) throw new Error(edited.problems[0]?.what)
    const before = dayCalls(house).open(tide, 'a').prepared!
    const after = dayCalls(house).open({ text: edited.value, beside: {} }, 'b').prepared!
    // Half as much again in each of two vessels, and the same strengths.
    expect(after.poured[0]!.inventory.volumeL).toBeCloseTo(1.5, 2)
    expect(after.demonstration.vessels[0]!.count).toBe(2)
    expect(after.makeUp.strengths.map((s) => Number(s.wantedMolPerL?.toPrecision(3)))).toEqual(
      before.makeUp.strengths.map((s) => Number(s.wantedMolPerL?.toPrecision(3))),
    )
    const made = (p: typeof after, id: string): number => p.makeUp.solutions.find((s) => s.id === id)!.volumeL
    // 540 mL of A for each of two jars, and a tenth to spare.
    expect(made(after, 'A')).toBeCloseTo(2 * 0.54 * 1.1, 3)
  })
  it('compare found recipes', () => {
    const compared = calls.compareFound(tide)
    expect(compared.ok && compared.value.recipes).toHaveLength(4)
    expect(calls.compareFound(example('sudden-night')).ok).toBe(false)
  })
  it('know every compound by its names', () => {
    const manganese = calls.substances().find((s) => s.id === 'manganese-ii-sulfate')
    expect(manganese?.hydrates.length).toBeGreaterThan(1)
    expect(calls.substances().find((s) => s.id === 'hydrogen-peroxide')?.isLiquid).toBe(true)
  })
  it('tell which demonstrations the shelf is good for', () => {
    const shelf = [
      { id: 'a', written: { substance: 'potassium iodate', purity: '99 %' }, left: { kind: 'mass', value: 100 } as const },
      { id: 'b', written: { substance: 'sodium metabisulfite', purity: '97 %' }, left: { kind: 'mass', value: 100 } as const },
      { id: 'c', written: { substance: 'starch (soluble)' }, left: { kind: 'mass', value: 100 } as const },
    ]
    const fits = calls.fitShelf(
      ['sudden-night', 'tide-in-a-jar'].map((key) => ({ key, document: example(key) })),
      shelf,
    )
    expect(fits.map((f) => f.fit?.state)).toEqual(['can be done', 'something is missing'])
    expect(fits[1]!.fit!.bottles.filter((b) => b.state === 'missing').map((b) => b.bottle)).toContain('peroxide')
  })
  it('says which mechanisms a list of substances can feed', () => {
    const fed = calls.fedBy(['potassium iodate', 'sodium metabisulfite', 'starch (soluble)', 'no such thing'])
    expect(fed.filter((name) => name.startsWith('iodate-bisulfite/')).length).toBeGreaterThan(0)
    expect(fed.length).toBeLessThan(house.facts.mechanisms.length / 2)
  })
})
