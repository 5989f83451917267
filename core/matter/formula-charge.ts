import type { Problem } from '@beakertide/basis/problems'
import { type FormulaCharacter, type ProblemMaker, textOf } from './formula-characters.ts'

export interface TakenCharge {
  readonly rest: readonly FormulaCharacter[]
  readonly charge: number
  readonly isRadical: boolean
  readonly warnings: readonly Problem[]
  readonly fault: Problem | null
}

/** No ion in water carries more. */
const LARGEST_CHARGE = 9

/** Few atoms of non-metals: "HO2.", "CO3.-". A dot behind anything else is a hydrate whose water was forgotten. */
const radicalBody = /^(?:(?:H|C|N|O|F|S|P|Cl|Br|I)\d?){1,4}$/

/** Takes the charge (and a radical dot beside it) off the end of a formula; the rules stand at `parseFormula`. */
export function takeCharge(all: readonly FormulaCharacter[], problem: ProblemMaker): TakenCharge {
  const text = textOf(all)
  const warnings: Problem[] = []
  let keep = text.length
  let charge = 0
  let fault: Problem | null = null
  const at = (i: number): number => all[Math.min(i, all.length - 1)]!.at
  const take = (from: number, digits: string, signs: string): void => {
    const size = digits === '' ? signs.length : Number(digits)
    const isMixed = new Set(signs).size > 1
    if (isMixed || size === 0 || size > LARGEST_CHARGE || (digits !== '' && signs.length > 1)) {
      fault = problem(
        'charge-not-readable',
        at(from),
        `the charge "${text.slice(from).trim()}" is not readable`,
        'write it as in "SO4^2-"; at most 9',
      )
    } else charge = signs.startsWith('-') ? -size : size
    keep = from
  }

  const explicit = /(?:\^| )(\d*)([+-]+)$/.exec(text) ?? null
  const explicitSignFirst = explicit ? null : /(?:\^| )?([+-])(\d+)$/.exec(text)
  const bare = explicit || explicitSignFirst ? null : /([+-]+)$/.exec(text)
  if (explicit) take(explicit.index, explicit[1]!, explicit[2]!)
  else if (explicitSignFirst) take(explicitSignFirst.index, explicitSignFirst[2]!, explicitSignFirst[1]!)
  else if (bare) {
    const signs = bare[1]!
    const body = text.slice(0, bare.index)
    const digits = signs.length === 1 ? (/\d+$/.exec(body)?.[0] ?? '') : ''
    const stem = body.slice(0, body.length - digits.length)
    const isOneElement = /^[A-Z][a-z]?$/.test(stem)
    const isAllInSquareBrackets = stem.startsWith('[') && stem.endsWith(']') && !stem.slice(1, -1).includes(']')
    if (digits !== '' && ((isOneElement && signs === '+') || isAllInSquareBrackets)) take(stem.length, digits, signs)
    else if (digits.length > 1) {
      fault = problem(
        'charge-ambiguous',
        at(stem.length),
        `in "${digits}${signs}" it is not clear which digits count atoms and which are charge`,
        `write "${stem}${digits.slice(0, -1)}^${digits.slice(-1)}${signs}" or "${stem}${digits}^${signs}"`,
      )
      keep = bare.index
    } else {
      take(bare.index, '', signs)
      if (isOneElement && digits !== '' && !/^(F|Cl|Br|I)$/.test(stem)) {
        const read = `${digits} ${stem} with one negative charge together`
        warnings.push(
          problem(
            'charge-assumed',
            at(stem.length),
            `"${text}" is read as ${read}`,
            `write "${stem}^${digits}-" if one atom with charge ${digits}- was meant`,
          ),
        )
      }
    }
  }
  let isRadical = false
  if (/[.·]$/.test(text.slice(0, keep)) && radicalBody.test(text.slice(0, keep - 1))) {
    keep--
    isRadical = true
  }
  while (keep > 0 && text[keep - 1] === ' ') keep--
  return { rest: all.slice(0, keep), charge, isRadical, warnings, fault }
}
