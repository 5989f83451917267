import { facts as tables } from '@beakertide/data'
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Content, groupMolPerL, holds, type Share } from './contents.ts'
import type { GroupMember, HazardFacts } from './hazard-facts.ts'

const facts = tables.day().hazards
const members = Object.values(facts.groups).flat()
const named = (kind: GroupMember['kind']): readonly string[] => [...new Set(members.filter((m) => m.kind === kind).map((m) => m.member))]
const strength = fc.double({ min: 0, max: 20, noNaN: true })
const share: fc.Arbitrary<Share> = fc.record({
  cas: fc.constantFrom(null, ...named('cas')),
  formula: fc.constantFrom(...named('formula'), 'KMnO4', 'CuCl2', 'C6H8O6', 'CoCl2'),
  molPerL: strength,
  massFraction: fc.double({ min: 0, max: 1, noNaN: true }),
})
const content: fc.Arbitrary<Content> = fc.record({
  name: fc.constant('any'),
  solid: fc.boolean(),
  volumeL: fc.constant(1),
  massG: fc.constant(1000),
  molPerL: fc.dictionary(fc.constantFrom(...named('species'), 'Na+'), strength, { maxKeys: 6 }),
  shares: fc.array(share, { maxLength: 4 }),
})

/** The definition of the hazard tables, member by member: what the index must find without asking for every member. */
function byDefinition({ molPerL, shares }: Content, group: string, { groups }: HazardFacts): { strength: number; massFraction: number } {
  const list = groups[group]!
  const isMember = (s: Share, m: GroupMember): boolean =>
    m.kind === 'cas'
      ? s.cas === m.member
      : m.kind === 'formula'
        ? s.formula === m.member
        : m.kind === 'element' && new RegExp(`${m.member}(?![a-z])`).test(s.formula)
  const species = list.reduce((sum, m) => sum + (m.kind === 'species' ? m.weight * (molPerL[m.member] ?? 0) : 0), 0)
  const substances = shares.reduce((sum, s) => sum + (list.find((m) => isMember(s, m))?.weight ?? 0) * s.molPerL, 0)
  return {
    strength: Math.max(0, species, substances),
    massFraction: Math.max(0, ...shares.filter((s) => list.some((m) => isMember(s, m))).map((s) => s.massFraction)),
  }
}

describe('danger groups in a content', () => {
  it('are found as the table of groups defines them, whatever the content', () => {
    fc.assert(
      fc.property(content, (c) => {
        for (const group of Object.keys(facts.groups)) {
          const wanted = byDefinition(c, group, facts)
          const found = groupMolPerL(c, group, facts)
          expect(Math.abs(found - wanted.strength)).toBeLessThanOrEqual(1e-9)
          const side = { groups: [group], threshold: { over: 'mass-fraction', value: 0.3 } as const }
          expect(holds(c, side, facts)).toBe(wanted.massFraction > 0.3)
          const solid = { groups: [group], threshold: { over: 'solid' } as const }
          if (wanted.strength > 1e-9) expect(holds(c, solid, facts)).toBe(c.solid)
        }
      }),
      { numRuns: 300 },
    )
  })
  it('a base takes its strength off the acid of its content, and none is left below nothing', () => {
    const liquid = (molPerL: Record<string, number>): Content => ({ name: 'x', solid: false, volumeL: 1, massG: 1000, molPerL, shares: [] })
    const group = Object.entries(facts.groups).find(([, list]) => list.some((m) => m.kind === 'species' && m.weight < 0))![0]
    const acid = facts.groups[group]!.find((m) => m.kind === 'species' && m.weight > 0)!
    const base = facts.groups[group]!.find((m) => m.kind === 'species' && m.weight < 0)!
    const alone = groupMolPerL(liquid({ [acid.member]: 2 }), group, facts)
    expect(alone).toBeCloseTo(2 * acid.weight, 12)
    expect(groupMolPerL(liquid({ [acid.member]: 2, [base.member]: 0.5 }), group, facts)).toBeCloseTo(alone + 0.5 * base.weight, 12)
    expect(groupMolPerL(liquid({ [base.member]: 0.5 }), group, facts)).toBe(0)
  })
})
