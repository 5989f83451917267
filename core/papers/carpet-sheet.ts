/** Carpet, coast, aim and mistakes as papers: the same numbers as in the pictures, in tables and sentences. */
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type {
  AimAnswer,
  AimFeature,
  BandValue,
  Carpet,
  Coast,
  Explanation,
  Features,
  MistakesFound,
  SeparatingTest,
} from '../rehearsal/index.ts'
import { isRehearsable } from '../rehearsal/index.ts'
import { isPresent, variedWords } from './carpet-drawing.ts'
import { dangerBlock, sentence } from './caution-lines.ts'
import type { Block, Paper } from './paper.ts'
import type { SpeciesBook } from './species-book.ts'
import { aboutTime, timeWords } from './times.ts'
import { typesetPaper } from './typeset.ts'

const NONE = '-'
/** Beyond these, two values are the same to any balance. */
const MOST_DIGITS = 9
const time = (s: number | null): string => (s === null ? NONE : aboutTime(s))
/** Cycles and length of a show that goes on are lower limits. */
const floor = (f: Features, text: string): string => (f.stillGoing ? `over ${text}` : text)

/** First change, period, cycles and length as table cells. */
function featureCells(f: Features | null, isRefused = false): readonly string[] {
  if (isRefused) return ['refused', NONE, NONE, NONE]
  if (f === null) return ['not rehearsed', NONE, NONE, NONE]
  if (f.firstTurnS === null) return ['no change', NONE, NONE, NONE]
  return [time(f.firstTurnS), time(f.periodS), floor(f, String(f.cycles)), floor(f, time(f.lengthS))]
}

const FEATURE_COLUMNS = [
  { title: 'first change', align: 'right' },
  { title: 'period', align: 'right' },
  { title: 'cycles', align: 'right' },
  { title: 'last change', align: 'right' },
] as const

const STOPPED: Block = { block: 'text', text: 'It was stopped before it was complete.' }

/** The carpet as a table; the row of the recipe as it is says so. */
export function carpetSheet(title: string, carpet: Carpet, cautions: Cautions, book: SpeciesBook): Paper {
  return typesetPaper(
    {
      kind: 'carpet',
      title: `Carpet: ${title}`,
      blocks: [
        dangerBlock(cautions),
        {
          block: 'table',
          caption: `Vessel ${carpet.vessel}, ${carpet.mechanism}: predicted over ${variedWords(carpet.varied, carpet.unit)}`,
          columns: [{ title: carpet.varied, align: 'right' }, ...FEATURE_COLUMNS, { title: 'colour at the end', align: 'left' }],
          rows: carpet.rows.map((row) => [
            isPresent(carpet, row) ? `as it is ${row.text}` : row.text,
            ...featureCells(
              row.features,
              row.problems.some((p) => p.danger),
            ),
            row.endColour ?? NONE,
          ]),
        },
        ...rowProblems(carpet),
        { block: 'text', text: ROWS_LINE },
        ...(carpet.stopped ? [STOPPED] : []),
      ],
    },
    book,
  )
}

const ROWS_LINE =
  'The cautions above are those of the recipe as it is. To work with another row, change the document and have it checked and weighed again.'

/** Rows that are refused or cannot be made, dangers first. */
function rowProblems(carpet: Carpet): readonly Block[] {
  const lines = carpet.rows.flatMap((row) => row.problems.map((p) => ({ ...p, row })))
  if (lines.length === 0) return []
  const ordered = [...lines].sort((a, b) => Number(b.danger ?? false) - Number(a.danger ?? false))
  return [
    { block: 'heading', level: 3, text: 'Rows that are no recipe' },
    {
      block: 'list',
      ordered: false,
      items: ordered.map((p) => `${p.danger ? 'DANGER. ' : ''}${carpet.varied} ${p.row.text}: ${sentence(p.what, false)}`),
    },
  ]
}

/** Why points are refused, each reason once. */
const refusalsOf = (coast: Coast): readonly string[] => [
  ...new Set(coast.points.flatMap((p) => (p.forbidden?.set === 'refused' ? [sentence(p.forbidden.why, false)] : []))),
]

/** The coast in words: where the border runs, and the extremes of what is seen. */
export function coastSheet(title: string, coast: Coast, cautions: Cautions, book: SpeciesBook): Paper {
  const count = (show: string): number => coast.points.filter((p) => p.show === show).length
  const periods = coast.points.flatMap((p) => (p.features?.periodS == null ? [] : [p.features.periodS]))
  const at = (v: number, axis: Coast['x']): string => `${formatNumber(v, 3)}${axis.unit === 'times' ? '' : ` ${axis.unit}`}`
  const unmakable = coast.points.filter((p) => p.forbidden !== null && isRehearsable(p.forbidden)).length
  const lines = [
    ...(count('refused') > 0
      ? [`DANGER. ${count('refused')} are refused for danger and were not rehearsed: ${refusalsOf(coast).join(' ')}`]
      : []),
    `${coast.runs} points: cycles at ${count('cycles')}, turns without return at ${count('turns')}, nothing seen at ${count('nothing')} of them.`,
    ...(unmakable > 0 ? [`${unmakable} are pictures only, for they cannot be made up as they stand (solubility, smallest weighing).`] : []),
    ...(count('unknown') > 0 ? [`${count('unknown')} could not be rehearsed.`] : []),
    ...(periods.length > 0 ? [`Periods from ${aboutTime(Math.min(...periods))} to ${aboutTime(Math.max(...periods))}.`] : []),
    ...(coast.border.length === 0 ? ['No border runs through these ranges: the same kind of show everywhere.'] : []),
  ]
  const middles = coast.border
    .map((b) => ({ x: (b.from[0] + b.to[0]) / 2, y: (b.from[1] + b.to[1]) / 2, between: b.between }))
    .sort((a, b) => a.x - b.x)
  const step = Math.max(1, Math.ceil(middles.length / BORDER_ROWS))
  return typesetPaper(
    {
      kind: 'coast',
      title: `Coast: ${title}`,
      blocks: [
        dangerBlock(cautions),
        { block: 'list', ordered: false, items: lines },
        ...(middles.length === 0
          ? []
          : ([
              {
                block: 'table',
                caption: `Vessel ${coast.vessel}, ${coast.mechanism}: the border over ${variedWords(coast.x.varied, coast.x.unit)}, and ${variedWords(coast.y.varied, coast.y.unit)}`,
                columns: [
                  { title: coast.x.varied, align: 'right' },
                  { title: coast.y.varied, align: 'right' },
                  { title: 'between', align: 'left' },
                ],
                rows: middles
                  .filter((_, i) => i % step === 0)
                  .map((m) => [at(m.x, coast.x), at(m.y, coast.y), [...m.between].sort().join(' and ')]),
              },
            ] as const)),
        { block: 'text', text: ROWS_LINE.replace('row', 'point') },
        ...(coast.stopped ? [STOPPED] : []),
      ],
    },
    book,
  )
}
/** Rows of border printed; the picture has all of it. */
const BORDER_ROWS = 12

/** A portion before and after. */
export interface PortionChange {
  readonly solution: string
  readonly bottle: string
  readonly substanceName: string
  readonly before: string
  readonly after: string
  /** After minus before as shown by balance or glassware; volumes null for what is weighed. */
  readonly moreG: number
  readonly moreMl: number | null
}

/** Another amount that an aim changes. */
export interface OtherAmountToPrint {
  readonly by: string
  readonly unit: 'times' | '°C'
  readonly value: number | null
  readonly bounds: { readonly low: AimBoundToPrint; readonly high: AimBoundToPrint }
}

/** What an aim answers, as far as it is printed. */
export interface AimToPrint {
  readonly vessel: string
  readonly mechanism: string
  readonly feature: AimFeature | 'end-colour'
  readonly wanted: readonly [number, number]
  /** The colour wanted at the end, and the one predicted; null or absent when something else is aimed at. */
  readonly wantedColour?: string | null
  readonly endColour?: string | null
  readonly others?: readonly OtherAmountToPrint[]
  readonly by: string
  readonly unit: 'times' | '°C'
  readonly answer: AimAnswer
  readonly present: { readonly value: number; readonly result: number | null }
  readonly value: number | null
  readonly result: number | null
  readonly band: BandValue | null
  readonly change: readonly PortionChange[]
  readonly bounds: { readonly low: AimBoundToPrint; readonly high: AimBoundToPrint }
}
interface AimBoundToPrint {
  readonly value: number
  readonly set: string
  readonly why: string
}

const FEATURE_WORDS: Readonly<Record<AimToPrint['feature'], string>> = {
  'end-colour': 'the colour at the end',
  'first-turn': 'the first change',
  period: 'the period',
  length: 'the last change',
  cycles: 'the cycles',
}

/** A value of an amount in words. */
function amountWords(by: string, unit: 'times' | '°C', v: number, digits = 3): string {
  return unit === 'times' ? `${formatNumber(v, digits)} times the ${by} of the recipe` : `${formatNumber(v, digits)} °C`
}

/** Two values in usual words; where these read alike, with as many digits more as tell them apart. */
function toldApart<T>(ends: readonly [T, T], usual: (v: T) => string, finer: (v: T, digits: number) => string, joint = 'and'): string {
  const head = joint === 'to' ? 'from ' : ''
  let [a, b] = [usual(ends[0]), usual(ends[1])]
  for (let digits = 4; a === b && digits <= MOST_DIGITS; digits++) [a, b] = [finer(ends[0], digits), finer(ends[1], digits)]
  return `${head}${a} ${joint} ${b}`
}

/** A result as it is told: a colour, a count, or a time with the digits a prediction has earned. */
function aimedWords(aim: AimToPrint, v: number | null): string {
  if (v === null) return 'none'
  const colour = aim.wantedColour ?? 'so'
  if (aim.feature === 'end-colour') return v === 1 ? colour : `not ${colour}`
  return aim.feature === 'cycles' ? String(Math.round(v)) : aboutTime(v)
}

function wishWords(aim: AimToPrint): string {
  if (aim.feature === 'end-colour') return aim.wantedColour ?? ''
  const [low, high] = aim.wanted
  // A wish is printed as it was made, a prediction with the digits it has earned.
  const wish = (v: number): string => (aim.feature === 'cycles' ? String(v) : v < 120 ? `${Number(v.toPrecision(3))} s` : timeWords(v))
  return low === high ? wish(low) : `${wish(low)} to ${wish(high)}`
}

/** Sentences of an aim: the answer, the prediction, what bounds it. */
function aimLines(aim: AimToPrint): readonly string[] {
  const number = (v: number | null): string => aimedWords(aim, v)
  const others = aim.others ?? []
  const names = [aim.by, ...others.map((o) => o.by)].join(' and ')
  const value = (v: number): string => amountWords(aim.by, aim.unit, v)
  /** All amounts at what was found. */
  const taken = (v: number): string =>
    [value(v), ...others.flatMap((o) => (o.value === null ? [] : [amountWords(o.by, o.unit, o.value)]))].join(' and ')
  const lines = [
    `Wanted: ${FEATURE_WORDS[aim.feature]}, ${wishWords(aim)}. As the recipe is: ${aim.present.result === null ? 'not within the rehearsed time' : number(aim.present.result)}.`,
  ]
  const bound = (side: 'low' | 'high'): string => {
    const b = aim.bounds[side]
    return b.set === 'wish'
      ? `the ${side} bound that was set, ${value(b.value)}`
      : `${value(b.value)}, beyond which it will not do: ${b.why}`
  }
  const { answer } = aim
  const nearest = aim.value === null ? '' : ` The nearest is ${number(aim.result)}, at ${taken(aim.value)}.`
  switch (answer.how) {
    case 'already':
      lines.push('Nothing needs changing.')
      break
    case 'found':
      lines.push(`Take ${taken(aim.value ?? 1)}: rehearsed afresh, that gives ${number(aim.result)}.`)
      break
    case 'jumps':
      lines.push(
        `It cannot be had: between ${toldApart([answer.below.value, answer.above.value], value, (v, digits) => amountWords(aim.by, aim.unit, v, digits))} it jumps ${toldApart([answer.below.result, answer.above.result], number, (v, digits) => (v === null ? number(v) : `${Number(v.toPrecision(digits))} s`), 'to')}.${nearest}`,
      )
      break
    case 'out-of-reach':
      lines.push(
        answer.side === null
          ? `Out of reach by ${names}: within the bounds it never comes so far, and turns back or ends.${nearest}`
          : `Out of reach by ${aim.by}. What prevents it is ${sentence(bound(answer.side), false)}${nearest}`,
      )
      break
    case 'feature-absent':
      lines.push(`Nowhere within the bounds is it seen (${value(aim.bounds.low.value)} to ${value(aim.bounds.high.value)}).`)
      break
    case 'stopped':
      lines.push('It was stopped before an answer was found.')
  }
  if (aim.band?.low != null && aim.band.high !== null)
    lines.push(`Expect ${number(aim.band.low)} to ${number(aim.band.high)} (eight times in ten).`)
  for (const side of ['low', 'high'] as const) {
    if (aim.bounds[side].set !== 'wish' && !(answer.how === 'out-of-reach' && answer.side === side))
      lines.push(sentence(`The ${side} bound is ${bound(side)}`))
  }
  for (const o of others) {
    for (const side of ['low', 'high'] as const) {
      const b = o.bounds[side]
      if (b.set !== 'wish') {
        lines.push(sentence(`The ${side} bound of ${o.by} is ${amountWords(o.by, o.unit, b.value)}, beyond which it will not do: ${b.why}`))
      }
    }
  }
  return lines
}

/** The aim: the answer first, then what to weigh and measure instead. */
export function aimSheet(title: string, aim: AimToPrint, cautions: Cautions, book: SpeciesBook): Paper {
  const more = (c: AimToPrint['change'][number]): string => {
    const by = c.moreMl ?? c.moreG
    return `${by < 0 ? 'less by' : 'more by'} ${formatNumber(Math.abs(by), 3)} ${c.moreMl === null ? 'g' : 'mL'}`
  }
  return typesetPaper(
    {
      kind: 'aim',
      title: `Aim: ${title}`,
      blocks: [
        dangerBlock(cautions),
        { block: 'list', ordered: false, items: aimLines(aim) },
        ...(aim.change.length === 0 || aim.answer.how === 'already'
          ? []
          : ([
              {
                block: 'table',
                caption: aim.answer.how === 'found' ? 'What to take instead' : 'What the nearest would take',
                columns: [
                  { title: 'solution', align: 'left', own: true },
                  { title: 'bottle', align: 'left', own: true },
                  { title: 'substance', align: 'left' },
                  { title: 'in the recipe', align: 'right' },
                  { title: 'instead', align: 'right' },
                  { title: 'change', align: 'right' },
                ],
                rows: aim.change.map((c) => [c.solution, c.bottle, c.substanceName, c.before, c.after, more(c)]),
              },
            ] as const)),
      ],
    },
    book,
  )
}

const COUNTED_WORDS: Readonly<Record<MistakesFound['counted'][number]['of'], string>> = {
  'first-turn': 'first change',
  period: 'period',
  cycles: 'cycles',
  length: 'last change',
  'end-colour': 'colour at the end',
}

/** Explanations printed in full. */
const PRINTED = 8

const namesOf = (e: Explanation): string => e.mistakes.map((m) => m.words).join('; or ')

function testLine(t: SeparatingTest): string {
  const how = `${sentence(t.what)} About ${formatNumber(t.minutes, 2)} min.`
  return `${how} First: ${t.first ?? NONE}; second: ${t.second ?? NONE}.`
}

/** Explanations that would have been refused, first and by name: what explains a show may also have hurt somebody. */
function dangerLines(found: MistakesToPrint): readonly Block[] {
  const dangers = found.dangers ?? []
  if (dangers.length === 0) return []
  const items = dangers.map((d) => `DANGER. If it was "${d.words}": ${sentence(d.why, false)}`)
  return [
    { block: 'heading', level: 3, text: 'Mistakes that are dangerous in themselves' },
    { block: 'list', ordered: false, items },
  ]
}

export interface MistakesToPrint extends MistakesFound {
  readonly dangers?: readonly { readonly words: string; readonly why: string }[]
}

/** The ranking, what it is counted in, and the tests that separate the first two. */
export function mistakesSheet(title: string, found: MistakesToPrint, cautions: Cautions, book: SpeciesBook): Paper {
  const [first] = found.explanations
  const asWritten = found.explanations[found.asWritten]
  const verdict = found.none
    ? 'None of these explains what was seen.'
    : found.asWritten === 0
      ? 'The recipe as written explains what was seen best; no mistake is needed.'
      : `Explains it best: ${first ? sentence(namesOf(first), false) : ''}`
  const written =
    asWritten && found.asWritten > 0
      ? [`The recipe as written is ${formatNumber(asWritten.distance, 2)} deviations from what was seen.`]
      : []
  const factors = (c: MistakesFound['counted'][number]): string =>
    c.factorUp === c.factorDown
      ? `a factor ${formatNumber(c.factorUp, 3)}`
      : `a factor ${formatNumber(c.factorUp, 3)} up and ${formatNumber(c.factorDown, 3)} down`
  const stated = found.counted.map((c) => `${COUNTED_WORDS[c.of]} within ${factors(c)} (${c.from})`).join(', ')
  const blocks: Block[] = [
    dangerBlock(cautions),
    ...dangerLines(found),
    { block: 'text', text: [verdict, ...written].join(' ') },
    {
      block: 'table',
      caption: `Nearest first; distance in deviations: ${stated}, with a second and two per cent of watching`,
      columns: [
        { title: 'distance', align: 'right' },
        { title: 'mistake', align: 'left' },
        ...FEATURE_COLUMNS,
        { title: 'colour at the end', align: 'left' },
      ],
      rows: found.explanations
        .slice(0, PRINTED)
        .map((e) => [formatNumber(e.distance, 2), namesOf(e), ...featureCells(e.predicted), e.predicted.endColour]),
    },
  ]
  if (found.tests.length > 0 && !found.none) {
    blocks.push({ block: 'heading', level: 3, text: 'What separates the first two, quickest first' })
    blocks.push({ block: 'list', ordered: true, items: found.tests.map(testLine) })
  }
  blocks.push({ block: 'heading', level: 3, text: 'Not covered' })
  const failed = found.notRehearsed.length > 0 ? [`could not be rehearsed: ${found.notRehearsed.join(', ')}`] : []
  blocks.push({ block: 'list', ordered: false, items: [...found.notCovered, ...failed].map((line) => sentence(line)) })
  if (found.stopped) blocks.push(STOPPED)
  return typesetPaper({ kind: 'mistakes', title: `Mistakes: ${title}`, blocks }, book)
}
