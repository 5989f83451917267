/**
 * A recipe in free words -> a table to be confirmed. Nothing is guessed: what the words do not say (which hydrate, per cent of what, how
 * strong an acid) is asked for, line by line. Pure; the substance table is given.
 */
import type { Outcome } from '@beakertide/basis/problems'
import { parseQuantity } from '@beakertide/basis/units'
import { findSubstance, hydrateWord, type MatterFacts, splitHydrateName, type Substance } from '@beakertide/core/matter'
import { fromGerman, nearGerman } from './german-names.ts'
import { amountsIn, type FoundAmount, type Piece, piecesOf, plainNumber } from './found-amounts.ts'

/** What a line leaves open. */
export type Asks = 'substance' | 'hydrate' | 'strength' | 'percent' | 'amount'

/** One amount of one thing. */
export interface FoundPart {
  /** As written. */
  readonly text: string
  /** "4.3 g", "100 mL", "0.2 mol/L"; '' when it cannot be read as a measure. */
  readonly amount: string
  /** The name as written. */
  readonly name: string
  /** The name in the table; null: not known. */
  readonly substance: { readonly name: string; readonly formula: string; readonly isLiquid: boolean } | null
  /** Names that may have been meant. */
  readonly suggestions: readonly string[]
  /** Chosen by the name itself; '' when it has none or is not known. */
  readonly hydrate: string
  /** To choose from, when the name leaves several. */
  readonly hydrates: readonly string[]
  /** "10 % w/w", "2.5 mol/L", "30 volumes"; '' when none is written; "10" with `percent` asked for. */
  readonly strength: string
  readonly asks: readonly Asks[]
  /** What the words say beside it ("conc.", "a few drops"). */
  readonly notes: readonly string[]
}

export interface FoundSolution {
  readonly name: string
  readonly parts: readonly FoundPart[]
  /** "140 mL"; '' when no volume is written and none follows. */
  readonly volume: string
  /** How the volume is meant: made up to it, that much water added, or the liquids alone. */
  readonly filled: 'to' | 'in' | 'liquids' | 'unknown'
  /** As poured; '' when the text does not say: all of it. */
  readonly poured: string
}

export interface FoundText {
  readonly solutions: readonly FoundSolution[]
  /** Lines that say nothing measurable; shown so that nothing is lost. */
  readonly unread: readonly string[]
}

/** Longest text taken; a page of a book has about 3000 characters. */
export const LONGEST_FOUND_TEXT = 20_000
const MOST_LINES = 200

const HEADING =
  /^\s*(?:(?:stock\s+)?(?:solution|lösung|part|teil)\s+([\p{L}\d]{1,12})|([\p{Lu}\d]{1,4}))\s*(?:\([^)]*\))?\s*[:.)=–-](?:\s+|$)/iu
const POURING =
  /^\s*(?:dann\s+)?(?:man\s+)?(?:mix|pour|combine|add|misch\w*|vermisch\w*|gie(?:ß|ss)\w*|gib|gibt|geben|zum\s+start|zur\s+vorführung)(?=\s)|(?:zusammen(?:gegossen|gegeben|gießen|geben)|vermischt|gemischt|gegossen)\s*[.!]?\s*$/i
const WATER =
  /^(?:of\s+|von\s+)?(?:(?:distilled|dist\.?|deioni[sz]ed|demineralised|pure|hot|warm|cold|boiling|tap|destilliert\w*|dest\.?|entsalzt\w*|heiß\w*|warm\w*|kalt\w*)\s+)*(?:water|wasser|h2o|aqua)\b/i
const UP_TO = /(?:\b(?:to|up\s+to|ad|auf|zu|made\s+up\s+to|fill(?:ed)?\s+up\s+to|water\s+to|wasser\s+auf))\s*(?:a\s+volume\s+of\s*)?$/i
const CONCENTRATED = /\b(?:conc(?:entrated|\.)?|konz(?:entrierte\w*|\.)?|glacial|fuming)(?=\s|$|[,.)])/i
const CONNECTORS =
  /^(?:\s|[,;:.+&–-]|\b(?:of|von|and|und|with|mit|plus|in|into|to|dissolved|dissolve|gelöst|löse|take|nimm|add|is|are|the|a|an|some|then|also|made\s+up|fill(?:ed)?\s+up|auffüllen|aufgefüllt|each|der|die|das|den|dem|des|ein|eine[rsnm]?|werden|wird|dazu|noch|je|jeweils|sowie|man|löst|gibt|wiegt|nehme|nimmt|(?:ver)?misch(?:e|t))\b)+|(?:\s|[,;:.+&–-]|\b(?:of|von|and|und|with|mit|plus|in|into|to|dissolved|gelöst|then|also|make\s+up|made\s+up|fill(?:ed)?\s+up|auf|auffüllen|werden|wird|man|löst|lösen|gibt|geben|dazu|hinzu|dazugegeben|hinzugefügt|zugegeben|zugesetzt|versetzt|abgewogen|eingewogen|aufgefüllt|verdünnt|zu|zum|zur|sowie|dann|danach|anschließend|unter|rühren|zusammen|(?:ge|ver)mischt|(?:ver)?mischen)\b)+$/giu

/** What belongs to the next amount. */
const TRAILING = /(?:[\s,;]+|\b(?:and|und|in|mit|with|plus|made\s+up\s+to|(?:water|wasser)\s+(?:to|auf)))+$/i

/** Reads the recipe. Bounded: what is longer than LONGEST_FOUND_TEXT is cut and the rest told as unread. */
export function readFoundText(text: string, matter: MatterFacts): FoundText {
  const unread: string[] = text.length > LONGEST_FOUND_TEXT ? [`… ${text.length - LONGEST_FOUND_TEXT} more characters`] : []
  const groups = text
    .slice(0, LONGEST_FOUND_TEXT)
    .split(/\r?\n|;|(?<=[\p{L})%])(?<!\b(?:dest|dist|conc|konz|approx|ca|vol|wt|gew|sol|max|min))\.[ \t]+(?=[\p{Lu}\d])/u)
    .map((g) => g.replace(/^\s*(?:[-*•–]|\d+[.)])\s+/, '').trim())
    .filter((g) => g !== '')
    .slice(0, MOST_LINES)
  const drafts: Draft[] = []
  let open: Draft | null = null
  let hasHeadings = false
  for (const group of groups) {
    const heading = headingOf(group) ?? namedHeading(group, matter)
    const body = heading ? group.slice(heading.length) : group
    if (heading) {
      hasHeadings = true
      open = { name: heading.name, parts: [], volume: '', filled: 'unknown', poured: '' }
      drafts.push(open)
    }
    if (body.trim() === '') continue
    if (!heading && POURING.test(body)) {
      const { pours, isAll } = poursIn(body, drafts)
      if (pours.length > 0) {
        if (isAll) {
          for (const { draft, amount } of pours) draft.poured = amount
          continue
        }
        // Something else is put to a solution that is there: a mixture of its own, in which nothing is lost and that solution is asked for.
        open = null
      }
    }
    const read = readLine(body, matter)
    if (read.parts.length === 0 && read.volume === '') {
      unread.push(group)
      continue
    }
    if (!open || !(heading || hasHeadings)) {
      open = { name: '', parts: [], volume: '', filled: 'unknown', poured: '' }
      drafts.push(open)
    }
    open.parts.push(...read.parts)
    if (read.volume !== '') {
      open.volume = read.volume
      open.filled = read.filled
    }
  }
  return { solutions: drafts.filter((d) => d.parts.length > 0 || d.volume !== '').map(finished), unread }
}

interface Draft {
  name: string
  parts: FoundPart[]
  volume: string
  filled: FoundSolution['filled']
  poured: string
}

function headingOf(group: string): { readonly name: string; readonly length: number } | null {
  const found = HEADING.exec(group)
  const name = found?.[1] ?? found?.[2]
  // "10: " or "KI: 4 g" is a heading only when it is no formula with an amount behind it; a single letter or numeral always is.
  if (!found || name === undefined) return null
  return found[1] !== undefined || /^(?:[A-Z]|[IVX]{1,4}|\d)$/.test(name) ? { name, length: found[0].length } : null
}

/** "Clear water: 1.07 g …": a few words before a colon, without an amount. */
const NAMED = /^\s*(\p{L}[\p{L}\d \-'’]{0,39})\s*:(?:\s+|$)/u
const MOST_WORDS = 5
/** Words before a colon that tell somebody to do something, or what stands below. */
const INSTRUCTION =
  /^(?:first|then|next|now|finally|to|for|in|into|per|you|we|dissolve|mix|weigh|measure|take|add|pour|heat|warm|cool|stir|shake|dilute|make|prepare|combine|use|fill|let|put|note|notes|safety|caution|warning|danger|procedure|method|steps?|recipe|ingredients?|materials?|chemicals?|reagents?|substances?|needed|tips?|hints?|source|result|observation|title|zuerst|dann|danach|nun|für|zu|zum|zur|in|je|man|löse\w*|löst|lösen|misch\w*|wiege\w*|wieg\w*|nimm|nehme\w*|gib|gebe\w*|gie(?:ß|ss)\w*|erwärm\w*|kühl\w*|rühr\w*|schüttel\w*|verdünn\w*|hinweis\w*|achtung|vorsicht|gefahr|sicherheit\w*|anleitung|durchführung|vorgehen|schritte?|rezept\w*|zutaten|material\w*|chemikalien|reagenzien|stoffe|benötigt|man\s+braucht|quelle|ergebnis|beobachtung)(?![\p{L}\d])/iu

/**
 * A solution called by a name of its own. Not one: a substance before its amount ("potassium iodate: 4.3 g"), also a misspelt one, water,
 * and an instruction. What follows must be amounts of something named, or stand on the next lines.
 */
function namedHeading(group: string, matter: MatterFacts): { readonly name: string; readonly length: number } | null {
  const found = NAMED.exec(group)
  const name = found?.[1]?.trim().replace(/\s+/g, ' ')
  if (!found || name === undefined || name.split(' ').length > MOST_WORDS) return null
  if (INSTRUCTION.test(name) || amountsIn(name).length > 0 || WATER.exec(name)?.[0].length === name.length) return null
  const known = substanceOf(name, matter)
  if (known.substance !== null || known.hydrates.length > 0 || known.suggestions.length > 0) return null
  const rest = group.slice(found[0].length)
  if (rest.trim() === '') return { name, length: found[0].length }
  const { parts } = readLine(rest, matter)
  return parts.length > 0 && parts.every((p) => p.name !== '') ? { name, length: found[0].length } : null
}

/** Names left out are A, B, C in their order; liquids alone add up. */
function finished(draft: Draft, index: number): FoundSolution {
  const name = draft.name === '' ? String.fromCharCode(65 + (index % 26)) : draft.name
  if (draft.volume !== '') return { ...draft, name }
  const volumes = draft.parts.map((p) => parseQuantity(p.amount, ['volume']))
  const allLiquid = draft.parts.length > 0 && volumes.every((v) => v.ok)
  if (!allLiquid) return { ...draft, name }
  const totalMl = volumes.reduce((sum, v) => sum + (v.ok ? v.value.value * 1000 : 0), 0)
  return { ...draft, name, volume: `${Number(totalMl.toPrecision(6))} mL`, filled: 'liquids' }
}

const MEASURES: readonly FoundAmount['kind'][] = ['mass', 'volume', 'unclear']

/** "Mix 100 mL of A with 50 mL of B": amounts for solutions that are there. `isAll`: the line measures nothing else. */
function poursIn(
  body: string,
  drafts: readonly Draft[],
): { readonly pours: readonly { readonly draft: Draft; readonly amount: string }[]; readonly isAll: boolean } {
  const amounts = amountsIn(body)
  const pours = amounts.flatMap((amount, i) => {
    const after = body.slice(amount.end, amounts[i + 1]?.start ?? body.length)
    const named = after.replace(/^\s*(?:(?:of|von)(?=\s))?\s*/iu, '')
    const bare = named.replace(/^(?:(?:the|der|dem|das)\s+)?(?:(?:solution|lösung)\s+)?/iu, '')
    const names = drafts.map((d, at) => (d.name === '' ? String.fromCharCode(65 + at) : d.name))
    const begins = names.filter((name) => beginsWith(named, name) || beginsWith(bare, name)).sort((a, b) => b.length - a.length)
    const draft = drafts[names.indexOf(begins[0] ?? '')]
    return draft === undefined || amount.kind !== 'volume' ? [] : [{ draft, amount: amount.text }]
  })
  return { pours, isAll: pours.length === amounts.filter((a) => MEASURES.includes(a.kind)).length }
}

/** Whether the text begins with that name, as a whole word; a name of one or two letters as it is written, a longer one in any case. */
function beginsWith(text: string, name: string): boolean {
  const head = text.slice(0, name.length)
  const isSame = name.length > 2 ? head.toLowerCase() === name.toLowerCase() : head === name
  return isSame && !/^[\p{L}\d]/u.test(text.slice(name.length))
}

interface ReadLine {
  readonly parts: readonly FoundPart[]
  readonly volume: string
  readonly filled: FoundSolution['filled']
}

function readLine(line: string, matter: MatterFacts): ReadLine {
  const parts: FoundPart[] = []
  let volume = ''
  let filled: FoundSolution['filled'] = 'unknown'
  for (const piece of piecesOf(line)) {
    const water = waterIn(piece)
    if (water) {
      volume = piece.amount.text
      filled = water
    } else parts.push(partOf(piece, matter))
  }
  return { parts, volume, filled }
}

/** Whether the amount is that of the water, and how it is meant. */
function waterIn({ before, after, amount }: Piece): 'in' | 'to' | null {
  if (amount.kind !== 'volume') return null
  const isUpTo = UP_TO.test(before.trimEnd())
  if (WATER.test(after.trimStart())) return isUpTo ? 'to' : 'in'
  const saysNothing =
    after
      .replace(
        /\b(?:with|mit)\s+.*(?:water|wasser)\b|\b(?:auffüllen|aufgefüllt|auffüllt|füllen|füllt|ergänzen|ergänzt|verdünnen|verdünnt|gebracht|bringen|wird|werden|man|sie|solution|lösung)\b/gi,
        '',
      )
      .replace(/[\s.,)]/g, '') === ''
  return isUpTo && saysNothing ? 'to' : null
}

function partOf(piece: Piece, matter: MatterFacts): FoundPart {
  const { amount, strengths } = piece
  const said = piece.name
  const concentrated = CONCENTRATED.exec(said)?.[0]
  const name = said
    .replace(CONCENTRATED, ' ')
    .replace(/[,;]?\s*\b(?:water|wasser)\s*(?:up\s+to|to|auf|ad|zu)?\s*$/i, ' ')
    .replace(/\(\s*\)|^[\s)]+|[\s(]+$/g, ' ')
    .replace(CONNECTORS, ' ')
    .replace(CONNECTORS, ' ')
    .replace(/\s+/g, ' ')
    .trim()
  const known = substanceOf(name, matter)
  const strength = strengthOf(strengths)
  const asks: Asks[] = []
  if (amount.kind === 'unclear') asks.push('amount')
  if (known.substance === null && known.hydrates.length === 0) asks.push('substance')
  if (known.hydrates.length > 0) asks.push('hydrate')
  if (strength.isBare) asks.push('percent')
  const isLiquid = known.substance?.isLiquid === true || amount.kind === 'volume'
  if (isLiquid && strength.text === '' && amount.kind !== 'concentration') asks.push('strength')
  return {
    text: piece.text.replace(TRAILING, '').trim(),
    amount: amount.kind === 'unclear' ? '' : amount.text,
    name,
    substance: known.substance,
    suggestions: known.suggestions,
    hydrate: known.hydrate,
    hydrates: known.hydrates,
    strength: strength.text,
    asks,
    notes: [...(concentrated === undefined ? [] : [concentrated.trim()]), ...(amount.kind === 'unclear' ? [amount.written] : [])],
  }
}

/** "% w/w" and the like; a bare per cent keeps its number and is asked for. */
function strengthOf(strengths: readonly FoundAmount[]): { readonly text: string; readonly isBare: boolean } {
  const first = strengths[0]
  if (!first) return { text: '', isBare: false }
  return first.kind === 'percent' ? { text: plainNumber(first.written), isBare: true } : { text: first.text, isBare: false }
}

interface Known {
  readonly substance: FoundPart['substance']
  readonly hydrate: string
  readonly hydrates: readonly string[]
  readonly suggestions: readonly string[]
}
const isPourable = (s: Substance): boolean => s.soldAs === 'aqueous' || /liquid|syrup|solution/.test(s.form)
const plainName = (s: Substance): string => splitHydrateName(s.name.replace(' (anhydrous)', '')).compound

/** The substance of a name, looked up as in a document; the last words are tried alone when the whole is not known. */
function substanceOf(name: string, matter: MatterFacts): Known {
  const nothing: Known = { substance: null, hydrate: '', hydrates: [], suggestions: [] }
  if (name === '') return nothing
  const asWritten = findSubstance(name, undefined, matter)
  const english = isUnknown(asWritten) ? fromGerman(name, matter) : null
  const found = english === null ? asWritten : findSubstance(english, undefined, matter)
  if (found.ok) {
    const s = found.value
    const hasSeveral = matter.substances.filter((o) => o.family === s.family).length > 1
    return {
      ...nothing,
      substance: { name: hasSeveral || s.waters > 0 ? plainName(s) : s.name, formula: s.formula, isLiquid: isPourable(s) },
      hydrate: hasSeveral || s.waters > 0 ? hydrateWord(s.waters) : '',
    }
  }
  if (found.problems[0]?.code === 'matter/hydrate-missing') {
    const family = membersOf(english ?? name, matter)
    const first = family[0]
    if (first)
      return {
        substance: { name: plainName(first), formula: first.formula.split('·')[0]!, isLiquid: isPourable(first) },
        hydrate: '',
        hydrates: family.map((s) => hydrateWord(s.waters)),
        suggestions: [],
      }
  }
  const near = [...(found.problems[0]?.todo ?? '').matchAll(/"([^"]+)"/g)].map((m) => m[1]!)
  const suggestions = [...new Set(near.length > 0 ? near : nearGerman(name, matter))]
  return { ...nothing, suggestions }
}

/** A name that means nothing here; one whose hydrate is asked for is known. */
const isUnknown = (found: Outcome<Substance>): boolean => !found.ok && found.problems[0]?.code !== 'matter/hydrate-missing'

/** All hydrates of the compound a name means. */
function membersOf(name: string, matter: MatterFacts): readonly Substance[] {
  for (const waters of ['anhydrous', 'monohydrate', 'dihydrate', 'pentahydrate']) {
    const one = findSubstance(name, waters, matter)
    if (one.ok) return matter.substances.filter((s) => s.family === one.value.family).sort((a, b) => a.waters - b.waters)
  }
  return []
}
