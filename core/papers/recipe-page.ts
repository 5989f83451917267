/** The recipe on one page, in words and numbers that can be typed in again, with check characters for every line. */
import { kelvinToCelsius, type Quantity, type QuantityKind } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { Assay, BalanceAndGlass, Bottle, SolutionRecipe } from '../makeup/index.ts'
import type { Vessel } from '../mixture/index.ts'
import { briefDanger } from './brief-danger.ts'
import { sentence } from './caution-lines.ts'
import { checkCodes, type CheckCodes, type CheckedLine, printedNumber } from './check-line.ts'
import type { Block, Paper } from './paper.ts'
import type { SpeciesBook } from './species-book.ts'
import { timeWords } from './times.ts'
import { typesetPaper } from './typeset.ts'

/** The parts of a demonstration that make its recipe. */
export interface RecipeToPrint {
  readonly title: string
  readonly story: string
  /** `audienceM`: from the vessels to the nearest person who watches, where it is stated. */
  readonly room: { readonly temperatureK: number; readonly volumeM3: number | null; readonly audienceM?: number }
  readonly bottles: readonly Bottle[]
  readonly solutions: readonly SolutionRecipe[]
  readonly vessels: readonly Vessel[]
  readonly reaction: string
  readonly tools: BalanceAndGlass
}

/** From the internal unit to the one that is checked: powers of ten, so that a digit on paper stays one digit of the checked number. */
const CHECKED_IN: Partial<Record<QuantityKind, number>> = {
  'amount-concentration': 1e3,
  'mass-fraction': 100,
  'volume-fraction': 100,
  fraction: 100,
  volume: 1e3,
  amount: 1e3,
}

/** Words and numbers of a line together: what is read and what is checked cannot part. */
class LineOf {
  readonly #text: string[] = []
  readonly #parts: (string | number)[] = []

  words(text: string): this {
    this.#text.push(text)
    this.#parts.push(text)
    return this
  }

  number(value: number, unit: string): this {
    this.#text.push(`${printedNumber(value)} ${unit}`)
    this.#parts.push(Number(printedNumber(value)), unit)
    return this
  }

  quantity(q: Quantity): this {
    if (q.kind === 'time') return this.number(q.value, 's')
    if (q.kind === 'temperature') return this.number(kelvinToCelsius(q.value), 'degC')
    // As somebody wrote it; the unit is held by the kind and the power of ten.
    this.#text.push(q.text)
    this.#parts.push(q.value * (CHECKED_IN[q.kind] ?? 1), q.kind)
    if (q.uncertainty !== undefined) this.#parts.push(q.uncertainty * (CHECKED_IN[q.kind] ?? 1))
    return this
  }

  done(): CheckedLine {
    return { text: this.#text.join(' ').replaceAll(' ,', ','), parts: this.#parts }
  }
}

function assayed(line: LineOf, assay: Assay): void {
  line.words(', assayed by').words(assay.by)
  for (const [key, value] of Object.entries(assay)) {
    if (typeof value === 'object') line.words(`, ${key}`).quantity(value)
    else if (typeof value === 'boolean') line.words(value ? ', over water' : ', dry')
  }
}

function bottleLine(b: Bottle): CheckedLine {
  const line = new LineOf().words(`${b.id}:`).words(b.substance)
  if (b.hydrate !== undefined) line.words(`, ${b.hydrate}`)
  if (b.purity) line.words(', purity').quantity(b.purity)
  if (b.strength) line.words(', strength').quantity(b.strength)
  if (b.density) line.words(', density').quantity(b.density)
  if (b.assay) assayed(line, b.assay)
  return line.done()
}

const STATE_WORDS = { 'in-solution': '', 'in-mix': 'in the mix', mass: '', volume: '' } as const

function solutionLines(s: SolutionRecipe): readonly CheckedLine[] {
  const head = new LineOf().words(`${s.id}: make`).quantity(s.volume)
  if (s.temperature) head.words(', at').quantity(s.temperature)
  if (s.storedAt) head.words(', stored at').quantity(s.storedAt)
  const ingredients = s.ingredients.map((i) => {
    const line = new LineOf().words(`${s.id}: with ${i.bottle}`).quantity(i.target.quantity)
    if (STATE_WORDS[i.target.state] !== '') line.words(STATE_WORDS[i.target.state])
    if (i.weighed) line.words(', really taken').quantity(i.weighed)
    return line.done()
  })
  return [head.done(), ...ingredients]
}

function vesselLines(v: Vessel): readonly CheckedLine[] {
  const head = new LineOf().words(`${v.id}: ${v.stirred ? 'stirred' : 'still'}, depth`).number(v.depthCm, 'cm')
  if (v.capacityL !== null) head.words(', holds').number(v.capacityL * 1000, 'mL')
  if (v.count !== 1) head.words(', equal vessels').number(v.count, '')
  if (v.closed === true) head.words(', closed')
  if (v.shaken === true) head.words(', shaken')
  if (v.heldBefore !== undefined && v.heldBefore.length > 0) head.words(`, held ${v.heldBefore.join(' and ')} before`)
  const pours = v.pours.map((p) => {
    const line = new LineOf()
      .words(`${v.id}: pour`)
      .number(p.volumeL * 1000, 'mL')
      .words(`of ${p.solution} at`)
      .number(p.atS, 's')
    if (p.temperatureK !== undefined) line.words(', poured at').number(kelvinToCelsius(p.temperatureK), 'degC')
    return line.done()
  })
  return [head.done(), ...pours]
}

export interface RecipeGroup {
  readonly title: string
  readonly lines: readonly CheckedLine[]
}

/** The recipe as lines, in groups. Everything that changes what is in the vessel is in it. */
export function recipeGroups(r: RecipeToPrint): readonly RecipeGroup[] {
  const room = new LineOf().words('room').number(kelvinToCelsius(r.room.temperatureK), 'degC')
  if (r.room.volumeM3 !== null) room.words(', of').number(r.room.volumeM3, 'm3')
  const tools = new LineOf().words('balance').number(r.tools.balanceReadabilityG, 'g').words(`, glass ${r.tools.glassClass}`)
  return [
    { title: 'Bottles', lines: r.bottles.map(bottleLine) },
    { title: 'Solutions', lines: r.solutions.flatMap(solutionLines) },
    { title: 'Vessels and pours', lines: r.vessels.flatMap(vesselLines) },
    { title: 'Room and tools', lines: [room.done(), tools.done(), new LineOf().words(`reaction ${r.reaction}`).done()] },
  ]
}

/** Check characters of a recipe, a pair a line in the order of recipeGroups, and a pair for the page. */
export function recipeCodes(r: RecipeToPrint): CheckCodes {
  return checkCodes(recipeGroups(r).flatMap((g) => g.lines))
}

/** Story of a document in one paragraph; long ones are cut at a sentence. */
const STORY_MOST = 400
const shortStory = (text: string): string => (text.length <= STORY_MOST ? text : `${text.slice(0, STORY_MOST).replace(/[^.!?]*$/, '')} …`)

/** One page with the gravest cautions, every number of the recipe, and the check line. */
export function recipePage(recipe: RecipeToPrint, cautions: Cautions, book: SpeciesBook): Paper {
  const groups = recipeGroups(recipe)
  const codes = recipeCodes(recipe)
  let at = 0
  const coded = groups.map((g) => ({ title: g.title, lines: g.lines.map((l) => ({ text: l.text, code: codes.lines[at++]! })) }))
  const starts = Math.max(0, ...recipe.vessels.flatMap((v) => v.pours.map((p) => p.atS)))
  const blocks: Block[] = [
    briefDanger(cautions),
    ...(recipe.story === '' ? [] : [{ block: 'text' as const, text: sentence(shortStory(recipe.story)), own: true as const }]),
    { block: 'checked', groups: coded.filter((g) => g.lines.length > 0), page: codes.page },
    {
      block: 'text',
      text: `The last pour is at ${timeWords(starts)}. After typing this recipe in, compare the check characters: two that differ name the line with the wrong digit. (ISO/IEC 7064, MOD 1271-36, over the words and numbers of each line; every single wrong character and every swap of neighbours is found.)`,
    },
  ]
  return typesetPaper({ kind: 'recipe', title: `Recipe: ${recipe.title}`, blocks }, book)
}
