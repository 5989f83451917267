/** The cue sheet: what to pour, what will be seen and when, what to say; one page that is read from a lectern. */
import { AUDIENCE_DISTANCE_M, type Cautions } from '../cautions/index.ts'
import type { Vessel } from '../mixture/index.ts'
import type { Rehearsal } from '../rehearsal/index.ts'
import { briefDanger } from './brief-danger.ts'
import { type TurnSpan, turnSpans } from './cue-sheet-times.ts'
import { nominalVolume } from './make-up-sheet.ts'
import type { Block, Cue, Paper } from './paper.ts'
import { bandWords } from './rehearsal-sheet.ts'
import { sameCourses } from './same-course.ts'
import { type SpeciesBook, speciesSpoken } from './species-book.ts'
import { cueLetters } from './cue-letters.ts'
import { closerLook } from './strip-columns.ts'
import { aboutTime, timeWords } from './times.ts'
import { typesetPaper } from './typeset.ts'
import { type Said, type Saying, whatToSay } from './what-to-say.ts'

/** Lines that a page holds beside the danger block; the turns share what the pours leave. */
const LINES_ON_PAGE = 11
const FEWEST_TURNS_CUED = 2
const MOST_TURNS_CUED = 6
/** Spans closer than this, s, are one time. */
const ONE_TIME_S = 1

/** "between 40 s and 1 min 20 s" */
export function spanWords(span: TurnSpan): string {
  if (span.lowS === null || span.highS === null) return ''
  if (span.highS - span.lowS < ONE_TIME_S) return ''
  const [low, high] = [timeWords(Math.max(0, span.lowS)), timeWords(span.highS)]
  return low === high ? '' : `${low} to ${high}`
}

/** Pours of one moment are one cue; equal ones into several vessels name the vessels together. */
function pourCues(vessels: readonly Vessel[]): readonly Cue[] {
  const moments = new Map<number, Map<string, string[]>>()
  for (const v of vessels) {
    for (const p of v.pours) {
      const pours = moments.get(p.atS) ?? new Map<string, string[]>()
      moments.set(p.atS, pours)
      const what = `${nominalVolume(p.volumeL)} of ${p.solution}`
      pours.set(what, [...(pours.get(what) ?? []), v.id])
    }
  }
  const many = vessels.length > 1
  return [...moments].map(([atS, pours]) => {
    const places = [...pours.values()].map((into) => into.join(', '))
    const isOnePlace = places.every((p) => p === places[0])
    // One place for all is named once.
    const said = [...pours.keys()].map((what, i) => (many && !isOnePlace ? `${what} into ${places[i]}` : what)).join(', then ')
    return { atS, kind: 'pour', what: `Pour ${said}${many && isOnePlace ? ` into ${places[0]}` : ''}`, between: '', say: '' }
  })
}

function turnCues(r: Rehearsal, many: boolean, turnsCued: number, said: Said): readonly Cue[] {
  const spans = turnSpans(r)
  const vessel = many ? `${r.vessel}: ` : ''
  const cued = r.turns.slice(0, turnsCued).map(
    (t, i): Cue => ({
      atS: t.timeS,
      kind: 'turn',
      what: `${vessel}${t.from} → ${t.to}`,
      between: spanWords(spans[i]!),
      say: said.turns[i] ?? '',
    }),
  )
  const [period] = r.periodsS
  const rest = r.turns.length - cued.length
  const further = r.turns[turnsCued]
  if (further !== undefined && rest > 0) {
    cued.push({
      atS: further.timeS,
      kind: 'turn',
      what: `${vessel}and on: ${rest} more ${rest === 1 ? 'change' : 'changes'}${period === undefined ? '' : `, a cycle about every ${aboutTime(period)}`}`,
      between: '',
      say: said.andOn,
    })
  }
  if (r.endS === null) return cued
  const length = r.band && r.turns.length > 1 && !r.stillGoing ? bandWords(r.band.lengthS, 'time') : ''
  const end: Cue = {
    atS: r.endS,
    kind: 'end',
    what: r.stillGoing ? `${vessel}still going when the rehearsal stops` : `${vessel}last change: it stays ${r.finalColour.name}`,
    between: length === '' ? '' : `it lasts ${length}`,
    say: said.end,
  }
  return r.turns.length > 1 ? [...cued, end] : cued
}

/** A vessel that does as another one did: its first turn and no more. */
function likeCue(r: Rehearsal, first: Rehearsal): readonly Cue[] {
  const turn = r.turns[0]
  if (!turn) return []
  const between = spanWords(turnSpans(r)[0]!)
  return [{ atS: turn.timeS, kind: 'turn', what: `${r.vessel}: ${turn.from} → ${turn.to}, and on as ${first.vessel}`, between, say: '' }]
}

export interface CuesToPrint {
  readonly title: string
  readonly vessels: readonly Vessel[]
  readonly rehearsals: readonly Rehearsal[]
  /** What the reasons say of each vessel's colour; sentences of a vessel without are of times alone. */
  readonly sayings?: readonly Saying[]
  /** From the vessels to the nearest person who watches, m, where it is stated. */
  readonly audienceM?: number
}

/** The pour that makes a mixture whole gets its sentence; of several at that moment the last. */
function withWaits(pours: readonly Cue[], waits: ReadonlyMap<number, string>): readonly Cue[] {
  return pours.map((c) => ({ ...c, say: waits.get(c.atS) ?? '' }))
}

/** Pours and predicted turns of all vessels on one clock, in order of time. `name`: what a species is called in a sentence. */
export function cuesOf(show: CuesToPrint, name: (id: string) => string = (id) => id): readonly Cue[] {
  const many = show.vessels.length > 1
  const pours = pourCues(show.vessels)
  const groups = sameCourses(show.rehearsals)
  const others = groups.reduce((n, g) => n + g.others.length, 0)
  // Each course has a line for the rest of its train and one for its end.
  const left = Math.floor((LINES_ON_PAGE - pours.length - others) / Math.max(1, groups.length)) - 2
  const turnsCued = Math.min(MOST_TURNS_CUED, Math.max(FEWEST_TURNS_CUED, left))
  const told = groups.map((g) => ({
    ...g,
    said: whatToSay(
      g.first,
      show.sayings?.find((s) => s.vessel === g.first.vessel),
      name,
    ),
  }))
  const turns = told.flatMap((g) => [...turnCues(g.first, many, turnsCued, g.said), ...g.others.flatMap((r) => likeCue(r, g.first))])
  const waits = new Map(told.flatMap((g) => (g.said.complete === '' ? [] : [[g.first.startS, g.said.complete] as const])))
  return [...withWaits(pours, waits), ...turns].sort((a, b) => a.atS - b.atS)
}

/** "2.5", "10"; to whole centimetres, rounded down: what is too near must not read as enough. */
export const metresOf = (m: number): string => String(Math.floor(100 * m + 1e-6) / 100)

function audienceWords(audienceM: number | undefined): string {
  return audienceM === undefined
    ? `Nobody watches from nearer than ${AUDIENCE_DISTANCE_M} m.`
    : audienceM < AUDIENCE_DISTANCE_M
      ? `The nearest row sits at ${metresOf(audienceM)} m: that is too near, it is moved to ${AUDIENCE_DISTANCE_M} m or more first.`
      : `The nearest row sits at ${metresOf(audienceM)} m; nobody comes nearer than ${AUDIENCE_DISTANCE_M} m.`
}

/** One page: the gravest cautions, the course in large type, lines for what to say. */
export function cueSheet(show: CuesToPrint, cautions: Cautions, book: SpeciesBook): Paper {
  const strips = show.rehearsals.length === 1 ? show.rehearsals : []
  const danger = briefDanger(cautions, 'stage')
  const cues = cuesOf(show, (id) => speciesSpoken(id, book))
  const blocks: Block[] = [
    danger,
    ...strips.map((r): Block => {
      const close = closerLook(r.strip, r.turns)
      const caption = close ? 'Predicted colour, the first changes' : 'Predicted colour'
      return { block: 'strip', caption, ...(close ?? { samples: r.strip, turns: r.turns }) }
    }),
    {
      block: 'text',
      text: `The clock starts with the first pour. Times are predictions; under them stands the span of ten to ninety in a hundred varied runs. ${audienceWords(show.audienceM)}`,
    },
    { block: 'cues', cues, letters: cueLetters(cues, danger, strips.length > 0) },
  ]
  return typesetPaper({ kind: 'cues', title: `Cues: ${show.title}`, blocks }, book)
}
