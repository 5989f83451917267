/** What a label of a solution must say: the elements the GHS asks for, from the classes of the solution as made. */
import { type Cautions, type HazardFacts, labelOf } from '../cautions/index.ts'
import type { LabelStatement } from './paper.ts'

/** At most six precautionary statements (data/hazards/ghs_rules.csv LAB-9, memory). */
const MOST_PRECAUTIONS = 6

/**
 * Which precautions go with which hazards: UN GHS Annex 3 section 3 in a selection for small bottles in a laboratory, the most
 * urgent first (memory; the meaning of each number stands in data/hazards/ghs_codes.csv).
 */
const PRECAUTIONS: readonly (readonly [RegExp, readonly string[]])[] = [
  [/^H314/, ['P280', 'P305+P351+P338', 'P303+P361+P353', 'P301+P330+P331', 'P260', 'P316']],
  [/^H318/, ['P280', 'P305+P351+P338', 'P317']],
  [/^H(300|301|310|311|330|331)/, ['P301+P316', 'P280', 'P260', 'P264', 'P405']],
  [/^H(340|341|350|351|360|361)/, ['P203', 'P280', 'P318', 'P405']],
  [/^H334/, ['P261', 'P342+P316', 'P284']],
  [/^H27[012]/, ['P220', 'P210', 'P280']],
  [/^H22[0-8]/, ['P210', 'P233', 'P403+P235']],
  [/^H(372|373|370|371)/, ['P260', 'P264', 'P319']],
  [/^H317/, ['P280', 'P333+P317', 'P261']],
  [/^H(319|320)/, ['P305+P351+P338', 'P280', 'P337+P317']],
  [/^H315/, ['P302+P352', 'P280', 'P332+P317']],
  [/^H(302|312)/, ['P264', 'P270', 'P301+P317']],
  [/^H(332|335|336)/, ['P261', 'P271', 'P304+P340']],
  [/^H290/, ['P234', 'P390']],
  [/^H4/, ['P273', 'P391', 'P501']],
  [/^EUH0(29|31|32)/, ['P271']],
]

export interface LabelElements {
  readonly signalWord: string
  readonly pictograms: readonly string[]
  readonly hazards: readonly LabelStatement[]
  readonly precautions: readonly LabelStatement[]
}

/** The most relevant precautions for these hazard statements, each once, at most six: in rounds, so that each hazard gets its first one. */
export function precautionsFor(codes: readonly string[]): readonly string[] {
  const lists = PRECAUTIONS.filter(([shape]) => codes.some((c) => shape.test(c))).map(([, list]) => list)
  const chosen: string[] = []
  const longest = Math.max(0, ...lists.map((l) => l.length))
  for (let round = 0; round < longest; round++) {
    for (const list of lists) {
      const next = list[round]
      if (next !== undefined && !chosen.includes(next) && chosen.length < MOST_PRECAUTIONS) chosen.push(next)
    }
  }
  return chosen
}

/** Label elements of a solution as made, from the classes that the cautions computed for it. No class: no signal word, nothing to say. */
export function labelElements(id: string, cautions: Cautions, codeWords: HazardFacts['codes']): LabelElements {
  const about = `solution "${id}"`
  const { signalWord, pictograms, classes } = cautions.list.find((c) => c.code === 'cautions/solution-hazard' && c.about === about)
    ?.label ?? {
    signalWord: 'none',
    pictograms: [],
    classes: [],
  }
  const words = (code: string): LabelStatement => ({ code, text: codeWords[code] ?? '' })
  const codes = [...new Set(classes.map((c) => c.statement))]
  // What another statement says already is not printed twice.
  const { hCodes, euhCodes } = labelOf(codes)
  return {
    signalWord: signalWord === 'none' ? '' : signalWord,
    pictograms,
    hazards: [...hCodes, ...euhCodes].map(words),
    precautions: precautionsFor(codes).map(words),
  }
}

/** Bottles of a solution whose hazard classes are on no list here. */
export function bottlesOfUnknownHazard(bottles: readonly string[], cautions: Cautions): readonly string[] {
  return bottles.filter((b) => cautions.list.some((c) => c.code === 'cautions/hazards-unknown' && c.about === `bottle "${b}"`))
}
