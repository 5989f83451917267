import { describe, expect, it } from 'vitest'
import { parseDemonstration } from './parse-demonstration.ts'
import { parsePlace } from './read-place.ts'

describe('the limits of a place', () => {
  it('are read with their units', () => {
    const o = parsePlace(
      'name: our school\nsource: letter of 3 May\nlimits: { pH: 6 to 9.5, sulfate: 0.6 g/L, temperature: 35 degC }\n',
      'p.yaml',
    )
    expect(o.ok && o.value).toEqual({
      name: 'our school',
      source: 'letter of 3 May',
      collectAll: false,
      limits: [
        { parameter: 'pH', low: 6, high: 9.5 },
        { parameter: 'sulfate', low: null, high: 600 },
        { parameter: 'temperature', low: null, high: 35 },
      ],
    })
  })
  it('every fault with its place: unknown names, amounts without unit, ranges upside down, no source', () => {
    const o = parsePlace('name: x\nlimits: { sulphate: 600 mg/L, iodide: 5, pH: 9 to 6, copper: 1 mol/L, pH 2: 7 }\n', 'p.yaml')
    expect(!o.ok && o.problems.map((p) => p.code).sort()).toEqual([
      'document/limit-not-read',
      'document/limit-not-read',
      'document/limit-not-read',
      'document/missing-key',
      'document/unknown-limit',
      'document/unknown-limit',
    ])
    expect(!o.ok && o.problems.every((p) => p.span !== undefined)).toBe(true)
    expect(!o.ok && o.problems.find((p) => p.what.includes('sulphate'))?.todo).toContain('sulfate')
  })
  it('stand in a document too; a document without them has none', () => {
    const text = (place: string): string => `beakertide: 1
title: T
reaction: blue-bottle
room: { temperature: 21 degC }
bottles: { a: { substance: x, purity: 99 % } }
solutions: { A: { make: 1 L, with: { a: 1 g } } }
vessels: { one: { depth: 5 cm, pours: [100 mL of A] } }
${place}`
    const placed = parseDemonstration(text('place: { name: here, source: the caretaker, collect all: yes }\n'), 'd.yaml')
    expect(placed.ok && placed.value.place).toMatchObject({ name: 'here', collectAll: true, limits: [] })
    const bare = parseDemonstration(text(''), 'd.yaml')
    expect(bare.ok && bare.value.place).toBeUndefined()
  })
})
