/** Lines on eyes, hands, air, audience, first aid and spills for what is in this scene: data/hazards/protection_lines.csv. */
import type { Source } from '@beakertide/basis/sources'
import type { Caution } from './caution.ts'
import { type Content, holds } from './contents.ts'
import type { HazardFacts } from './hazard-facts.ts'
import type { ProtectionLine } from './protection-facts.ts'

/** What a scene holds, for the lines: every liquid and solid, the cautions raised, the gases that can form. */
export interface Met {
  readonly contents: readonly Content[]
  readonly cautions: readonly Caution[]
  readonly gases: readonly string[]
}

function applies(line: ProtectionLine, met: Met, facts: HazardFacts): boolean {
  if (line.when === 'gas') return met.gases.some((g) => line.what.test(g))
  if (line.when === 'code') return met.cautions.some((c) => line.what.test(c.code))
  if (line.when === 'statement') return met.cautions.some((c) => c.label?.classes.some((x) => line.what.test(x.statement)))
  return met.contents.some((c) => holds(c, { groups: line.groups, threshold: line.over }, facts))
}

/** How a text came to us is said where it is not read: a reader must know what to check first. */
const remembered = (source: Source): string => (source.seen === 'read' ? '' : ` [${source.seen}]`)

/** One paragraph a topic, "Eyes: … Hands: …", in the order of the table. */
export function protectionLines(met: Met, facts: HazardFacts): readonly string[] {
  const byTopic = new Map<string, string[]>()
  for (const line of facts.protection) {
    if (!applies(line, met, facts)) continue
    const texts = byTopic.get(line.topic) ?? []
    byTopic.set(line.topic, [...texts, `${line.text}${remembered(line.source)}`])
  }
  return [...byTopic].map(([topic, texts]) => `${topic.charAt(0).toUpperCase()}${topic.slice(1)}: ${texts.join(' ')}`)
}
