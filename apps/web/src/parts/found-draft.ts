/** A found recipe between its words and a document: lines to confirm, what is still asked, and what comes of it. Free of the framework. */
import { parseQuantity } from '@beakertide/basis/units'
import type { FoundPart, FoundText } from '@beakertide/demonstration'
import { writeDocument } from '@beakertide/demonstration/edit'
import { takenName } from './taken-name.ts'

export interface DraftLine {
  readonly id: string
  readonly solution: number
  readonly text: string
  readonly amount: string
  readonly substance: string
  readonly hydrate: string
  readonly hydrates: readonly string[]
  readonly suggestions: readonly string[]
  /** Number of a strength with what it says; "10" while the kind of per cent is asked for. */
  readonly strength: string
  readonly isLiquid: boolean
  readonly notes: readonly string[]
  readonly isConfirmed: boolean
  readonly isLeftOut: boolean
}
export interface DraftSolution {
  readonly name: string
  /** As filled up. */
  readonly volume: string
  /** As the text says it: made up to it, so much water taken, or nothing. */
  readonly filled: 'to' | 'in' | 'liquids' | 'unknown'
  readonly poured: string
}
export interface FoundDraft {
  readonly solutions: readonly DraftSolution[]
  readonly lines: readonly DraftLine[]
  readonly unread: readonly string[]
}

export type Ask = 'amount' | 'substance' | 'hydrate' | 'strength' | 'percent'

const millilitres = (text: string): number | null => {
  const read = parseQuantity(text, ['volume'], {})
  return read.ok ? read.value.value * 1000 : null
}
const inMl = (value: number): string => `${Number(value.toPrecision(6))} mL`

export function draftOf(found: FoundText): FoundDraft {
  return {
    unread: found.unread,
    solutions: found.solutions.map((s) => {
      // Liquids come on top of the water they are poured into; what dissolves is taken to add nothing, and the line says so.
      const liquids = s.filled === 'in' ? s.parts.reduce((sum, p) => sum + (millilitres(p.amount) ?? 0), 0) : 0
      const water = millilitres(s.volume)
      return {
        name: s.name,
        volume: water === null ? s.volume : liquids > 0 ? inMl(water + liquids) : s.volume,
        filled: s.filled,
        poured: s.poured,
      }
    }),
    lines: found.solutions.flatMap((s, solution) => s.parts.map((p, i) => lineOf(p, solution, `${solution}.${i}`))),
  }
}

function lineOf(p: FoundPart, solution: number, id: string): DraftLine {
  return {
    id,
    solution,
    text: p.text,
    amount: p.amount,
    substance: p.substance?.name ?? p.name,
    hydrate: p.hydrate,
    hydrates: p.hydrates,
    suggestions: p.suggestions,
    strength: p.strength,
    isLiquid: p.substance?.isLiquid === true || millilitres(p.amount) !== null,
    notes: p.notes,
    isConfirmed: false,
    isLeftOut: false,
  }
}

/** What the line still leaves open. `isKnown`: whether the table has its substance. */
export function asksOf(line: DraftLine, isKnown: boolean): readonly Ask[] {
  const asks: Ask[] = []
  const isAmount = parseQuantity(line.amount, ['mass', 'volume', 'amount-concentration', 'mass-concentration', 'mass-fraction'], {}).ok
  if (!isAmount) asks.push('amount')
  if (!isKnown || line.substance === '') asks.push('substance')
  if (line.hydrates.length > 0 && line.hydrate === '') asks.push('hydrate')
  if (/^\d+(?:\.\d+)?$/.test(line.strength)) asks.push('percent')
  else if (line.isLiquid && line.strength === '' && needsStrength(line)) asks.push('strength')
  return asks
}
/** A strength in the solution needs none of the bottle before it can be compared; the bottle's own is asked for all the same. */
const needsStrength = (line: DraftLine): boolean => millilitres(line.amount) !== null || line.isLiquid

export const isSettled = (draft: FoundDraft): boolean =>
  draft.lines.some((l) => !l.isLeftOut) &&
  draft.lines.every((l) => l.isLeftOut || l.isConfirmed) &&
  draft.solutions.every((s, i) => !draft.lines.some((l) => l.solution === i && !l.isLeftOut) || millilitres(s.volume) !== null)

const LONGEST_NAME = 40
interface Parts {
  readonly bottles: Record<string, Record<string, string>>
  readonly solutions: Record<string, { readonly make: string; readonly with: Record<string, string> }>
  readonly pours: readonly string[]
}

/** Bottles, solutions and pours that the confirmed lines say. */
export function partsOf(draft: FoundDraft): Parts {
  const bottles: Record<string, Record<string, string>> = {}
  const bottleFor = (line: DraftLine): string => {
    const content = {
      substance: line.substance,
      ...(line.hydrate === '' ? {} : { hydrate: line.hydrate }),
      ...(line.strength === '' ? {} : { strength: line.strength }),
    }
    const base = takenName(line.substance, 'bottle')
    for (let n = 1; ; n++) {
      const id = n === 1 ? base : `${base.slice(0, LONGEST_NAME - 3)} ${n}`
      const there = bottles[id]
      if (there === undefined) bottles[id] = content
      if (there === undefined || JSON.stringify(there) === JSON.stringify(content)) return id
    }
  }
  const solutions: Record<string, { readonly make: string; readonly with: Record<string, string> }> = {}
  const pours: string[] = []
  draft.solutions.forEach((s, index) => {
    const lines = draft.lines.filter((l) => l.solution === index && !l.isLeftOut)
    if (lines.length === 0) return
    const name = takenName(s.name, `solution ${index + 1}`)
    const amounts: Record<string, string> = {}
    for (const line of lines) {
      const id = bottleFor(line)
      amounts[id] = amounts[id] === undefined ? line.amount : sum(amounts[id], line.amount)
    }
    solutions[name] = { make: s.volume, with: amounts }
    pours.push(`${s.poured === '' ? s.volume : s.poured} of ${name}`)
  })
  return { bottles, solutions, pours }
}

/** Two amounts of one bottle in one solution; what cannot be added stays the first. */
function sum(a: string, b: string): string {
  for (const [kind, unit, factor] of [
    ['mass', 'g', 1],
    ['volume', 'mL', 1000],
  ] as const) {
    const [x, y] = [parseQuantity(a, [kind], {}), parseQuantity(b, [kind], {})]
    if (x.ok && y.ok) return `${Number(((x.value.value + y.value.value) * factor).toPrecision(6))} ${unit}`
  }
  return a
}

/** The recipe as a document of its own; the words it came from stand at its head. */
export function documentOf(
  draft: FoundDraft,
  choices: {
    readonly title: string
    readonly reaction: string
    readonly temperature: string
    readonly note: string
    readonly words: string
  },
): string {
  const { bottles, solutions, pours } = partsOf(draft)
  const words = choices.words
    .split(/\r?\n/)
    .map((line) => line.trim())
    .filter((line) => line !== '')
  return writeDocument(
    [
      ['beakertide', 1],
      ['title', choices.title],
      ['reaction', choices.reaction],
      ['room', { temperature: choices.temperature }],
      ['bottles', bottles],
      ['solutions', solutions],
      ['vessels', { beaker: { pours } }],
      ['rehearse for', '10 min'],
    ],
    [choices.note, ...words.map((line) => `  ${line}`)].join('\n'),
  )
}

/** The recipe as an entry under "found" of a document. */
export function foundEntry(draft: FoundDraft, source: string): { readonly [key: string]: unknown } {
  const { bottles, solutions, pours } = partsOf(draft)
  // Names of its own, so that it never borrows a bottle of the document by chance.
  return { source, bottles, solutions, pours }
}
