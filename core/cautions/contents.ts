/** Things that can meet: a bottle's content, a solution, the liquid in a vessel; and whether one holds a danger group. */
import type { SpeciesId } from '../matter/index.ts'
import type { GroupMember, HazardFacts, RuleSide } from './hazard-facts.ts'
import type { SceneBottle, SceneSolution } from './scene.ts'

/** A substance inside a thing. */
export interface Share {
  readonly cas: string | null
  readonly formula: string
  readonly molPerL: number
  readonly massFraction: number
}

export interface Content {
  readonly name: string
  readonly solid: boolean
  /** 0 for a bottle on the shelf: its size does not matter. */
  readonly volumeL: number
  readonly massG: number
  /** Absent where it is that of the room. */
  readonly temperatureK?: number
  /** mol/L as entered; in a solid bottle, number a formula unit. */
  readonly molPerL: Readonly<Record<SpeciesId, number>>
  readonly shares: readonly Share[]
}

/** Crystal water and "(aq)" taken off, so that a hydrate and its solution are found by one formula. */
export const bareFormula = (formula: string): string => formula.replace(/\(aq\)$/, '').replace(/[·.]\s*\d*H2O$/, '')

/** The content of a bottle. */
export function contentOfBottle(bottle: SceneBottle): Content {
  const perLitre = bottle.solid ? 1 : (bottle.molPerL ?? 0)
  const molPerL: Record<SpeciesId, number> = {}
  for (const e of bottle.substance.entersWater) molPerL[e.species] = (molPerL[e.species] ?? 0) + e.count * perLitre
  return {
    name: `bottle "${bottle.id}" (${bottle.substance.name})`,
    solid: bottle.solid,
    volumeL: 0,
    massG: 0,
    molPerL,
    shares: [
      {
        cas: bottle.substance.cas,
        formula: bareFormula(bottle.substance.formula),
        molPerL: perLitre,
        massFraction: bottle.massFraction,
      },
    ],
  }
}

/** A solution as made. Ingredients whose bottle is not in the scene are left out of the shares (their species are there). */
export function contentOfSolution(solution: SceneSolution, bottles: ReadonlyMap<string, SceneBottle>): Content {
  const molPerL: Record<SpeciesId, number> = {}
  for (const [species, n] of Object.entries(solution.amountsMol)) molPerL[species] = n / solution.volumeL
  return {
    name: `solution "${solution.id}"`,
    solid: false,
    volumeL: solution.volumeL,
    massG: solution.massG,
    ...(solution.temperatureK === undefined ? {} : { temperatureK: solution.temperatureK }),
    molPerL,
    shares: solution.ingredients.flatMap((i) => {
      const substance = bottles.get(i.bottle)?.substance
      if (!substance) return []
      return [
        {
          cas: substance.cas,
          formula: bareFormula(substance.formula),
          molPerL: i.amountMol / solution.volumeL,
          massFraction: (i.amountMol * substance.molarMassGPerMol) / solution.massG,
        },
      ]
    }),
  }
}

/** What the usual clearing reagents bring, a formula unit of the solid. */
export const CLEARING_REAGENTS: Readonly<Record<string, Readonly<Record<SpeciesId, number>>>> = {
  thiosulfate: { 'S2O3^2-': 1 },
  bisulfite: { 'HSO3-': 1 },
  metabisulfite: { 'HSO3-': 2 },
  sulfite: { 'SO3^2-': 1 },
  ascorbic: { H2Asc: 1 },
  carbonate: { 'CO3^2-': 1 },
}

/** A clearing reagent as the solid that stands beside the vessel; an unknown id brings nothing. */
export function clearingReagent(id: string, name: string): Content {
  return { name, solid: true, volumeL: 0, massG: 0, molPerL: CLEARING_REAGENTS[id] ?? {}, shares: [] }
}

/** Both together, volumes added (contraction is under a few percent and does not move a danger limit). */
export function together(name: string, parts: readonly Content[]): Content {
  const volumeL = parts.reduce((v, p) => v + p.volumeL, 0)
  const massG = parts.reduce((m, p) => m + p.massG, 0)
  const molPerL: Record<SpeciesId, number> = {}
  const shares: Share[] = []
  for (const p of parts) {
    const byVolume = volumeL > 0 ? p.volumeL / volumeL : 0
    const byMass = massG > 0 ? p.massG / massG : 0
    for (const [species, c] of Object.entries(p.molPerL)) molPerL[species] = (molPerL[species] ?? 0) + c * byVolume
    for (const s of p.shares) {
      const same = shares.findIndex((t) => t.formula === s.formula && t.cas === s.cas)
      const before = shares[same]
      const added: Share = {
        ...s,
        molPerL: s.molPerL * byVolume + (before?.molPerL ?? 0),
        massFraction: s.massFraction * byMass + (before?.massFraction ?? 0),
      }
      if (before) shares[same] = added
      else shares.push(added)
    }
  }
  const temperatureK = mixedTemperature(parts)
  return { name, solid: false, volumeL, massG, ...(temperatureK === null ? {} : { temperatureK }), molPerL, shares }
}

/** Mean by mass, before any heat of mixing; null when no part says its own. A part that says none is left out of the mean. */
function mixedTemperature(parts: readonly Content[]): number | null {
  const known = parts.flatMap((p) => (p.temperatureK === undefined ? [] : [{ k: p.temperatureK, g: p.massG }]))
  const g = known.reduce((sum, p) => sum + p.g, 0)
  return g > 0 ? known.reduce((sum, p) => sum + p.k * p.g, 0) / g : null
}

/** A part of a content with the same strengths: what a pour takes. */
export function takeVolume(content: Content, volumeL: number): Content {
  return { ...content, volumeL, massG: content.volumeL > 0 ? (content.massG * volumeL) / content.volumeL : 0 }
}

const isMember = (share: Share, m: GroupMember): boolean =>
  (m.kind === 'cas' && share.cas === m.member) ||
  (m.kind === 'formula' && share.formula === m.member) ||
  (m.kind === 'element' && elementIn(m.member).test(share.formula))

const elements = new Map<string, RegExp>()
/** A symbol that no small letter follows: "C" is not in "Cl". */
function elementIn(symbol: string): RegExp {
  let shape = elements.get(symbol)
  if (shape === undefined) elements.set(symbol, (shape = new RegExp(`${symbol}(?![a-z])`)))
  return shape
}

/** Strengths found in a content, by group: tens of rules ask for the same ones. Contents and facts never change, so remembering is invisible. */
const strengths = new WeakMap<Content, { readonly facts: HazardFacts; readonly byGroup: Map<string, number> }>()

/**
 * Strength of a danger group in a content, mol/L: the larger of the weighted sum over species and the sum over substances
 * (the two see the same matter, so they are not added). Never negative. In a solid: above 0 when it is there.
 */
export function groupMolPerL(content: Content, group: string, facts: HazardFacts): number {
  let kept = strengths.get(content)
  if (kept?.facts !== facts) strengths.set(content, (kept = { facts, byGroup: new Map() }))
  let found = kept.byGroup.get(group)
  if (found === undefined) kept.byGroup.set(group, (found = strengthOf(content, group, facts)))
  return found
}

function strengthOf(content: Content, group: string, facts: HazardFacts): number {
  const members = facts.groups[group] ?? []
  let bySpecies = 0
  let bySubstance = 0
  for (const m of members) {
    if (m.kind === 'species') bySpecies += m.weight * (content.molPerL[m.member] ?? 0)
  }
  for (const share of content.shares) {
    const m = members.find((x) => isMember(share, x))
    if (m) bySubstance += m.weight * share.molPerL
  }
  return Math.max(0, bySpecies, bySubstance)
}

/** Largest mass fraction of a member of the group; only substances carry one. */
function groupMassFraction(content: Content, group: string, facts: HazardFacts): number {
  const members = facts.groups[group] ?? []
  return Math.max(0, ...content.shares.filter((s) => members.some((m) => isMember(s, m))).map((s) => s.massFraction))
}

/** Whether the content holds one side of a rule, strictly over its threshold; a solid holds it at any molar threshold. */
export function holds(content: Content, side: RuleSide, facts: HazardFacts): boolean {
  return side.groups.some((group) => {
    const there = groupMolPerL(content, group, facts)
    if (side.threshold.over === 'solid') return content.solid && there > 0
    if (side.threshold.over === 'mass-fraction') return groupMassFraction(content, group, facts) > side.threshold.value
    return content.solid ? there > 0 : there > side.threshold.value
  })
}
