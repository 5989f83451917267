import type { Problem } from '@beakertide/basis/problems'

/** Formula text as plain characters that remember where they stood, so that a message can point at them. */
export interface FormulaCharacter {
  /** One of letters, digits, brackets, space, "·", "^", "+", "-", or whatever else was met. */
  readonly c: string
  /** Character number in the text as written, from 1. */
  readonly at: number
}

const subscripts = '₀₁₂₃₄₅₆₇₈₉'
const superscripts = '⁰¹²³⁴⁵⁶⁷⁸⁹'
const dots = '·•⋅∙・*'
const minuses = '−–⁻'

/** Subscript digits become digits, superscripts a "^" and what follows, every dot "·" (a full stop stays: it may be a decimal point). */
export function formulaCharacters(text: string): readonly FormulaCharacter[] {
  const out: FormulaCharacter[] = []
  let raised = false
  let at = 0
  for (const met of text) {
    at++
    const sup = superscripts.indexOf(met)
    const isRaised = sup >= 0 || met === '⁺' || met === '⁻'
    if (isRaised && !raised && out.at(-1)?.c !== '^') out.push({ c: '^', at })
    raised = isRaised
    const sub = subscripts.indexOf(met)
    if (sup >= 0) out.push({ c: String(sup), at })
    else if (sub >= 0) out.push({ c: String(sub), at })
    else if (met === '⁺') out.push({ c: '+', at })
    else if (minuses.includes(met)) out.push({ c: '-', at })
    else if (dots.includes(met)) out.push({ c: '·', at })
    else if (met === '½') out.push({ c: '0', at }, { c: '.', at }, { c: '5', at })
    else out.push({ c: /\s/.test(met) ? ' ' : met, at })
  }
  while (out[0]?.c === ' ') out.shift()
  while (out.at(-1)?.c === ' ') out.pop()
  return out
}

export function textOf(characters: readonly FormulaCharacter[]): string {
  return characters.map((x) => x.c).join('')
}

/** Makes a problem that points at a character (from 1) or at the whole formula. */
export type ProblemMaker = (code: string, at: number | null, what: string, todo: string) => Problem
