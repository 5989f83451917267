/** Pairs that must not meet, looked for wherever things come together. */
import type { Caution } from './caution.ts'
import { type Content, holds } from './contents.ts'
import type { HazardFacts, PairRule, Place } from './hazard-facts.ts'

/** A place and a moment where things come together. */
export interface Encounter {
  readonly place: Place
  /** What the caution is about: 'solution "A"', 'vessel "jar"'. */
  readonly about: string
  /** Each as it is before they meet. */
  readonly contents: readonly Content[]
  /** All of them together; null where they only stand side by side. */
  readonly mixed: Content | null
  /** Warmest there is, K; rules for hot liquids do not fire without it. */
  readonly temperatureK?: number
}

/**
 * Contents that hold the sides, one each, at least two different ones when the rule has two sides or more;
 * empty when there is no such choice.
 */
function whoMeets(rule: PairRule, contents: readonly Content[], facts: HazardFacts): readonly Content[] {
  const able: (readonly Content[])[] = []
  for (const side of rule.sides) {
    const list = contents.filter((c) => (rule.basis !== 'dry' || c.solid) && holds(c, side, facts))
    if (list.length === 0) return []
    able.push(list)
  }
  const chosen = able.map((list) => list[0]!)
  if (rule.sides.length === 1 || new Set(chosen).size > 1) return [...new Set(chosen)]
  for (const [i, list] of able.entries()) {
    const other = list.find((c) => c !== chosen[0])
    if (other) return [...new Set(chosen.map((c, j) => (j === i ? other : c)))]
  }
  return []
}

function met(rule: PairRule, encounter: Encounter, facts: HazardFacts): readonly Content[] {
  if (rule.overVolumeL > 0 && (encounter.mixed?.volumeL ?? 0) <= rule.overVolumeL) return []
  if (rule.fromK > (encounter.temperatureK ?? 0)) return []
  if (rule.basis !== 'mixed') return whoMeets(rule, encounter.contents, facts)
  const mixed = encounter.mixed
  return mixed && rule.sides.every((side) => holds(mixed, side, facts)) ? [mixed] : []
}

/** "a with b and c". */
const asSentence = ([first = '', ...rest]: readonly string[]): string => (rest.length === 0 ? first : `${first} with ${rest.join(' and ')}`)

/** "peroxide with catalyst": the groups of a rule that one liquid or bottle holds, in words. */
function partners(rule: PairRule, content: Content, facts: HazardFacts): string {
  const words = rule.sides.map((side) => side.groups.find((g) => holds(content, { ...side, groups: [g] }, facts)) ?? side.groups[0] ?? '')
  return rule.basis === 'mixed' ? asSentence(words.map((w) => w.replace(/-/g, ' '))) : content.name
}

/** Every caution of one encounter, in the order of the rule table. Controls are not looked at here. */
export function pairCautions(encounter: Encounter, facts: HazardFacts): readonly Caution[] {
  const found: Caution[] = []
  for (const rule of rulesAt(encounter.place, facts)) {
    const who = met(rule, encounter, facts)
    const [first] = who
    if (!first) continue
    found.push({
      code: rule.code,
      severity: rule.severity,
      about: encounter.about,
      what: `${who.length > 1 ? who.map((c) => c.name).join(' with ') : partners(rule, first, facts)}: ${rule.what}`,
      instead: rule.instead,
      ...(rule.numbers === '' ? {} : { numbers: rule.numbers }),
      ...(rule.refuses === 'no' ? {} : { refuses: true as const }),
      ...(rule.refuses === 'never' ? { neverLifted: rule.whyNever } : {}),
      source: rule.source,
    })
  }
  return found
}

const rulesByPlace = new WeakMap<HazardFacts, Map<Place, readonly PairRule[]>>()

/** The rules that hold at a place, in the order of the table; told apart once a table. */
function rulesAt(place: Place, facts: HazardFacts): readonly PairRule[] {
  let byPlace = rulesByPlace.get(facts)
  if (byPlace === undefined) rulesByPlace.set(facts, (byPlace = new Map()))
  let rules = byPlace.get(place)
  if (rules === undefined) byPlace.set(place, (rules = facts.rules.filter((rule) => rule.places.includes(place))))
  return rules
}

/** One caution for each code and thing: the most severe, first met first. */
export function onceEach(cautions: readonly Caution[]): readonly Caution[] {
  const kept = new Map<string, Caution>()
  for (const c of cautions) {
    const key = `${c.code}|${c.about}`
    const before = kept.get(key)
    if (!before || c.severity > before.severity) kept.set(key, c)
  }
  return [...kept.values()]
}
