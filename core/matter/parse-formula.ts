import { done, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { elementSymbols } from './element-symbols.ts'
import { type FormulaCharacter, formulaCharacters, type ProblemMaker, textOf } from './formula-characters.ts'
import { takeCharge } from './formula-charge.ts'
import {
  type Bracket,
  closing,
  countAtoms,
  type FormulaItem,
  type FormulaPart,
  type FormulaPhase,
  formulaPhases,
  type FormulaTree,
  isWater,
} from './formula-tree.ts'
import { guessCase, oddnessOf } from './guess-case.ts'

/** What a formula says. Masses come from `molarMass`. */
export interface Formula {
  /** As written. */
  readonly text: string
  /** Atoms of the whole formula unit, crystal water included, by element symbol ("D" is deuterium). */
  readonly elements: Readonly<Record<string, number>>
  readonly charge: number
  /** Water joined by a dot; 0.5 for a hemihydrate. */
  readonly waters: number
  readonly phase: FormulaPhase | null
  readonly isRadical: boolean
  readonly tree: FormulaTree
}

/** Bounds far above any real formula and far below what could hang a machine. */
export const formulaLimits = { mostCharacters: 200, deepest: 12, largestCount: 9999 } as const

/** A reading must be this much less odd before we distrust a formula in capitals that also parses as written ("CUSO4": carbon, uranium …). */
const CLEARLY_LESS_ODD = 4

/**
 * Reads a chemical formula: brackets () [] {}, hydrate dots (· . *), charges, a phase "(s) (l) (g) (aq)" and a radical dot at the end.
 * Charges: "SO4^2-", "SO4 2-", "SO₄²⁻", "SO4-2"; without a caret a number before the sign is a charge only on a single
 * atom with "+" ("Mn2+") or behind a square bracket that holds everything ("[Fe(CN)6]3-"); else it counts atoms ("NH4+", "I3-").
 * All faults are reported together, each with its character.
 */
export function parseFormula(text: string): Outcome<Formula> {
  const shown = text.length > 60 ? `${text.slice(0, 57)}…` : text
  const problem = (code: string, at: number | null, what: string, todo: string): Problem => ({
    code: `matter/${code}`,
    where: at === null ? `formula "${shown}"` : `formula "${shown}", character ${at}`,
    what,
    todo,
  })
  if (text.length > formulaLimits.mostCharacters) {
    return refuse(
      problem(
        'formula-too-long',
        null,
        `it has ${text.length} characters; at most ${formulaLimits.mostCharacters} are read`,
        'give the formula of one substance',
      ),
    )
  }
  const all = formulaCharacters(text)
  if (all.length === 0) return refuse(problem('formula-empty', null, 'there is no formula here', 'write one, as in "KIO3" or "MnSO4·H2O"'))

  const { rest: withoutPhase, phase } = takePhase(all)
  const { rest, charge, isRadical, warnings, fault } = takeCharge(withoutPhase, problem)
  const problems: Problem[] = fault ? [fault] : []
  const parts = splitAtDots(rest).map((part, i, list) => readPart(part, i, list.length, problem, problems))
  const bare = textOf(rest)

  const unknown = problems.some((p) => p.code === 'matter/unknown-element')
  const inCapitals = !/[a-z]/.test(bare) && /[A-Z]{2}/.test(bare)
  if (unknown || (problems.length === 0 && inCapitals)) {
    const tail = textOf(all).slice(bare.length)
    const guesses = guessCase(bare).filter((g) => g.text !== bare)
    const best = guesses[0]
    const names = guesses.map((g) => `"${g.text}${tail}"`).join(' or ')
    if (unknown && best) {
      for (const [i, p] of problems.entries()) {
        if (p.code === 'matter/unknown-element') problems[i] = { ...p, todo: `capitals matter in a formula; did you mean ${names}?` }
      }
    } else if (!unknown && best && best.oddness + CLEARLY_LESS_ODD <= oddnessOf(bare)) {
      problems.push(problem('formula-in-capitals', null, `read letter by letter this is ${spellOut(parts)}`, `did you mean ${names}?`))
    }
  }
  if (problems.length > 0) return { ok: false, problems }

  const tree: FormulaTree = { parts, charge, phase, isRadical }
  const elements: Record<string, number> = {}
  for (const part of parts) countAtoms(part.items, part.multiplier, elements)
  const waters = parts.slice(1).reduce((sum, part) => sum + (isWater(part) ? part.multiplier : 0), 0)
  return done({ text, elements, charge, waters, phase, isRadical, tree }, warnings)
}

function takePhase(all: readonly FormulaCharacter[]): { rest: readonly FormulaCharacter[]; phase: FormulaPhase | null } {
  const found = /^(.+?) ?\((s|l|g|aq|cr)\)$/.exec(textOf(all))
  if (!found) return { rest: all, phase: null }
  const phase = formulaPhases.find((p) => p === found[2]) ?? 's'
  return { rest: all.slice(0, found[1]!.length), phase }
}

/** Cuts at "·" and at full stops that are no decimal point of a multiplier ("CaSO4·0.5H2O"). */
function splitAtDots(all: readonly FormulaCharacter[]): readonly (readonly FormulaCharacter[])[] {
  const parts: FormulaCharacter[][] = [[]]
  for (const [i, x] of all.entries()) {
    const part = parts.at(-1)!
    const isDecimalPoint = x.c === '.' && parts.length > 1 && /^ ?\d+$/.test(textOf(part)) && /\d/.test(all[i + 1]?.c ?? '')
    if (x.c === '·' || (x.c === '.' && !isDecimalPoint)) parts.push([])
    else part.push(x)
  }
  return parts
}

function readPart(all: readonly FormulaCharacter[], index: number, of: number, problem: ProblemMaker, problems: Problem[]): FormulaPart {
  const text = textOf(all)
  const leading = /^ ?(\d+\/\d+|\d+(?:\.\d+)?|[xn](?= ?H2O))? ?/.exec(text)!
  const body = trimEnd(all.slice(leading[0].length))
  const at = all[0]?.at ?? null
  let multiplier = 1
  if (body.length === 0) {
    problems.push(
      problem(
        'nothing-beside-dot',
        at,
        of > 1 ? 'nothing stands on one side of a dot' : 'there are no elements here',
        'write it as in "CuSO4·5H2O"',
      ),
    )
    return { multiplier, items: [] }
  }
  const number = leading[1]
  if (number !== undefined) {
    if (index === 0) {
      problems.push(
        problem('number-before-formula', at, `the number ${number} stands before the formula`, 'leave it out: a formula is of one unit'),
      )
    } else if (/[xn]/.test(number)) {
      problems.push(
        problem(
          'hydrate-not-stated',
          at,
          `how many waters "${number}" stands for is not said`,
          'look at the label and give the number, as in "·4H2O"',
        ),
      )
    } else {
      const [a, b] = number.split('/').map(Number)
      multiplier = a! / (b ?? 1)
      if (!(multiplier > 0) || multiplier > formulaLimits.largestCount) {
        problems.push(
          problem(
            'count-not-allowed',
            at,
            `the number ${number} behind the dot is not allowed`,
            `use a number above 0 and up to ${formulaLimits.largestCount}`,
          ),
        )
      }
    }
  }
  return { multiplier, items: readItems(body, problem, problems) }
}

function trimEnd(all: readonly FormulaCharacter[]): readonly FormulaCharacter[] {
  return all.at(-1)?.c === ' ' ? all.slice(0, -1) : all
}

/** Atoms and brackets, with an explicit stack: depth is bounded and nothing recurses on hostile text. */
function readItems(all: readonly FormulaCharacter[], problem: ProblemMaker, problems: Problem[]): readonly FormulaItem[] {
  interface Open {
    readonly bracket: Bracket
    readonly at: number
    readonly items: FormulaItem[]
  }
  const outer: FormulaItem[] = []
  const open: Open[] = []
  let tooDeep = false
  let i = 0
  const add = (item: FormulaItem): void => {
    ;(open.at(-1)?.items ?? outer).push(item)
  }
  const readCount = (of: string): number => {
    const start = i
    while (i < all.length && /\d/.test(all[i]!.c)) i++
    if (i === start) return 1
    const digits = textOf(all.slice(start, i))
    const at = all[start]!.at
    const count = Number(digits)
    if (digits.startsWith('0')) {
      const letter = digits.length > 1 ? ` or, if the letter O was meant, "O${digits.slice(1)}"` : ' or the letter O, if oxygen was meant'
      problems.push(problem('count-zero', at, `the count behind ${of} is ${digits}`, `leave ${of} out${letter}`))
    } else if (count > formulaLimits.largestCount) {
      problems.push(
        problem(
          'count-not-allowed',
          at,
          `the count behind ${of} is ${digits.slice(0, 12)}; at most ${formulaLimits.largestCount}`,
          'correct it',
        ),
      )
      return 1
    }
    return Math.max(1, count)
  }
  while (i < all.length) {
    const { c, at } = all[i]!
    if (/[A-Z]/.test(c)) {
      const start = i++
      while (i < all.length && /[a-z]/.test(all[i]!.c)) i++
      const symbol = textOf(all.slice(start, i))
      if (!elementSymbols.has(symbol)) problems.push(problem('unknown-element', at, `"${symbol}" is not an element`, elementAdvice(symbol)))
      add({ kind: 'atom', symbol, count: readCount(symbol) })
    } else if (c === '(' || c === '[' || c === '{') {
      i++
      if (open.length >= formulaLimits.deepest) {
        if (!tooDeep)
          problems.push(
            problem('brackets-too-deep', at, `brackets stand more than ${formulaLimits.deepest} deep`, 'write the formula flatter'),
          )
        tooDeep = true
        return outer
      }
      open.push({ bracket: c, at, items: [] })
    } else if (c === ')' || c === ']' || c === '}') {
      i++
      const group = open.pop()
      if (!group) {
        problems.push(
          problem(
            'bracket-not-opened',
            at,
            `"${c}" closes a bracket that was never opened`,
            'remove it or open the bracket before the group',
          ),
        )
        readCount('the bracket')
        continue
      }
      if (closing[group.bracket] !== c) {
        problems.push(
          problem('bracket-mismatch', at, `"${group.bracket}" is closed by "${c}"`, `close it with "${closing[group.bracket]}"`),
        )
      }
      if (group.items.length === 0)
        problems.push(problem('bracket-empty', group.at, 'this bracket holds nothing', 'remove it or write the group into it'))
      add({ kind: 'group', bracket: group.bracket, items: group.items, count: readCount('the bracket') })
    } else {
      problems.push(strangerProblem(c, at, problem))
      i++
      while (i < all.length && !/[A-Z()[\]{}]/.test(all[i]!.c)) i++
    }
  }
  for (const group of open) {
    problems.push(
      problem('bracket-left-open', group.at, 'this bracket is never closed', 'close it and say how many groups, as in "Fe2(SO4)3"'),
    )
    outer.push({ kind: 'group', bracket: group.bracket, items: group.items, count: 1 })
  }
  return outer
}

function strangerProblem(c: string, at: number, problem: ProblemMaker): Problem {
  if (/[a-z]/.test(c))
    return problem(
      'unknown-element',
      at,
      `an element symbol starts with a capital; "${c}" does not`,
      'write the symbol with a capital first letter',
    )
  if (/\d/.test(c))
    return problem('count-without-element', at, `the number here follows no element`, 'put it behind the element or bracket it counts')
  if (c === '+' || c === '-')
    return problem('sign-misplaced', at, `the sign "${c}" stands inside the formula`, 'put the charge at the end, as in "SO4^2-"')
  if (c === '^')
    return problem('sign-misplaced', at, 'a charge stands inside the formula or has no sign', 'put the charge at the end, as in "SO4^2-"')
  if (c === ' ')
    return problem(
      'space-inside',
      at,
      'a space stands inside the formula',
      'remove it; join water of crystallisation with a dot, as in "CuSO4·5H2O"',
    )
  return problem('character-not-allowed', at, `the character "${c}" does not belong into a formula`, 'remove it')
}

function elementAdvice(symbol: string): string {
  if (symbol.length === 2 && symbol[1] === 'l' && elementSymbols.has(symbol[0]!))
    return `if iodine was meant, it is a capital I: "${symbol[0]}I"`
  return 'check the spelling and the capitals'
}

function spellOut(parts: readonly FormulaPart[]): string {
  const atoms: Record<string, number> = {}
  for (const part of parts) countAtoms(part.items, part.multiplier, atoms)
  return Object.entries(atoms)
    .map(([symbol, count]) => `${count} ${symbol}`)
    .join(', ')
}
