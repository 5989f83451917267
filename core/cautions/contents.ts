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

/** Danger groups with the weight that something counts with in each. */
type Weights = readonly (readonly [group: string, weight: number])[]

/** The table of groups read the other way round: a content holds few things, and few groups hold any of them. */
interface GroupIndex {
  readonly bySpecies: ReadonlyMap<SpeciesId, Weights>
  /** Filled as substances are met, by CAS number and formula. */
  readonly bySubstance: Map<string, Weights>
}

const indexes = new WeakMap<HazardFacts, GroupIndex>()

function indexOf(facts: HazardFacts): GroupIndex {
  const known = indexes.get(facts)
  if (known !== undefined) return known
  const bySpecies = new Map<SpeciesId, (readonly [string, number])[]>()
  for (const [group, members] of Object.entries(facts.groups)) {
    for (const m of members) {
      if (m.kind !== 'species') continue
      const groups = bySpecies.get(m.member) ?? []
      if (groups.length === 0) bySpecies.set(m.member, groups)
      groups.push([group, m.weight])
    }
  }
  const index: GroupIndex = { bySpecies, bySubstance: new Map() }
  indexes.set(facts, index)
  return index
}

/** Groups that a substance belongs to; in each it counts as the first member that names it. */
function groupsOf(share: Share, facts: HazardFacts): Weights {
  const { bySubstance } = indexOf(facts)
  const key = `${share.cas} ${share.formula}`
  let found = bySubstance.get(key)
  if (found === undefined) {
    found = Object.entries(facts.groups).flatMap(([group, members]) => {
      const member = members.find((m) => isMember(share, m))
      return member === undefined ? [] : [[group, member.weight] as const]
    })
    bySubstance.set(key, found)
  }
  return found
}

/** What a content holds of every danger group that is in it at all. */
interface Held {
  readonly molPerL: ReadonlyMap<string, number>
  /** Largest mass fraction of a member; only substances carry one. */
  readonly massFraction: ReadonlyMap<string, number>
}

/** By content: tens of rules ask for the same groups. Contents and facts never change, so remembering is invisible. */
const heldBefore = new WeakMap<Content, { readonly facts: HazardFacts; readonly held: Held }>()

function heldIn(content: Content, facts: HazardFacts): Held {
  let kept = heldBefore.get(content)
  if (kept?.facts !== facts) heldBefore.set(content, (kept = { facts, held: lookThrough(content, facts) }))
  return kept.held
}

function lookThrough(content: Content, facts: HazardFacts): Held {
  const { bySpecies } = indexOf(facts)
  const molPerL = new Map<string, number>()
  for (const [species, amount] of Object.entries(content.molPerL)) {
    for (const [group, weight] of bySpecies.get(species) ?? []) molPerL.set(group, (molPerL.get(group) ?? 0) + weight * amount)
  }
  const bySubstance = new Map<string, number>()
  const massFraction = new Map<string, number>()
  for (const share of content.shares) {
    for (const [group, weight] of groupsOf(share, facts)) {
      bySubstance.set(group, (bySubstance.get(group) ?? 0) + weight * share.molPerL)
      massFraction.set(group, Math.max(massFraction.get(group) ?? 0, share.massFraction))
    }
  }
  for (const [group, amount] of bySubstance) molPerL.set(group, Math.max(molPerL.get(group) ?? 0, amount))
  return { molPerL, massFraction }
}

/**
 * Strength of a danger group in a content, mol/L: the larger of the weighted sum over species and the sum over substances
 * (the two see the same matter, so they are not added). Never negative. In a solid: above 0 when it is there.
 */
export function groupMolPerL(content: Content, group: string, facts: HazardFacts): number {
  return Math.max(0, heldIn(content, facts).molPerL.get(group) ?? 0)
}

/** Whether the content holds one side of a rule, strictly over its threshold; a solid holds it at any molar threshold. */
export function holds(content: Content, side: RuleSide, facts: HazardFacts): boolean {
  const { threshold } = side
  const held = heldIn(content, facts)
  for (const group of side.groups) {
    if (threshold.over === 'mass-fraction') {
      if ((held.massFraction.get(group) ?? 0) > threshold.value) return true
      continue
    }
    const there = held.molPerL.get(group) ?? 0
    if (threshold.over === 'solid' ? content.solid && there > 0 : there > (content.solid ? 0 : threshold.value)) return true
  }
  return false
}
