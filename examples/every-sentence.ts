/**
 * Every sentence that a page or a paper would show of the shipped examples: of the right ones all that is computed of a day, of the wrong
 * ones what refuses them. What a language must be able to tell is measured with it (told.test.ts, tools/untold.mjs).
 */
import { readdirSync, readFileSync } from 'node:fs'
import { done, type Outcome, type Problem } from '@beakertide/basis/problems'
import { parseMechanism } from '@beakertide/core/mechanism'
import {
  aimSheet,
  carpetSheet,
  catalogueSheet,
  coastSheet,
  comparisonSheet,
  dayPapers,
  daySheet,
  htmlPage,
  mechanismSheet,
  mistakesSheet,
  PAPER_KINDS,
  type Paper,
  reasonsSheet,
  type SpeciesBook,
  speciesBook,
  translatePaper,
  usualPrint,
} from '@beakertide/core/papers'
import { facts } from '@beakertide/data'
import {
  aimOfVessel,
  type AimTarget,
  clearVessel,
  coastOfVessel,
  compareFound,
  type Demonstration,
  type HouseFacts,
  mistakesOfVessel,
  openDocument,
  prepareDocument,
  type Prepared,
  reasonsOf,
  rehearseVessel,
  varyVessel,
} from '@beakertide/demonstration'

/** Takes a sentence; `room`: whose file holds it ("cautions", "papers"). */
export type Collect = (room: string, text: string) => void

const here = (path: string): URL => new URL(path, import.meta.url)
const besideIn = (folder: string) => (name: string) => {
  try {
    return { ok: true, text: readFileSync(here(`${folder}/${name}`), 'utf8') } as const
  } catch {
    return { ok: false, why: 'there is no such file' } as const
  }
}
const house = (): HouseFacts => ({
  day: facts.day(),
  mechanisms: facts.mechanisms(),
  mechanismDefaults: facts.mechanismDefaults(),
})

/** Keys whose text is a name, a citation or an identifier, never a sentence for a reader. */
const NAMELESS = new Set(
  'id code codes source sources seen file formula species mechanism solution bottle vessel key hex title story text written title equation units kind method role roles place element elements wants state stops bottles found name substance substanceName substanceId family solutions vessels from to status category controls ref shape measure netReaction netReactions reaction recipe recipes oddOneOut step distribution how'.split(
    ' ',
  ),
)

function walk(value: unknown, tell: (text: string) => void): void {
  if (typeof value === 'string') tell(value)
  else if (Array.isArray(value)) {
    if (typeof value[0] !== 'number') for (const v of value) walk(v, tell)
  } else if (typeof value === 'object' && value !== null && !ArrayBuffer.isView(value)) {
    for (const [key, v] of Object.entries(value)) if (!NAMELESS.has(key)) walk(v, tell)
  }
}

const ROOM_OF_CODE: Readonly<Record<string, string>> = {
  desk: 'demonstration',
  work: 'demonstration',
  records: 'record',
  numerics: 'rehearsal',
}
const roomOf = (p: Problem): string => {
  const room = p.code.split('/')[0] ?? ''
  return ROOM_OF_CODE[room] ?? room
}

function problems(list: readonly Problem[], collect: Collect): void {
  for (const p of list) for (const text of [p.where, p.what, p.todo]) collect(roomOf(p), text)
}

/** The value, its remarks collected; null when refused, with the problems collected. */
function got<T>(outcome: Outcome<T>, collect: Collect): T | null {
  problems(outcome.ok ? outcome.warnings : outcome.problems, collect)
  return outcome.ok ? outcome.value : null
}

/** Everything that a paper lets a language tell: names of the user's own and citations are no part of it. */
function paper(p: Paper, collect: Collect): void {
  const tell = (text: string): string => {
    collect('papers', text)
    return text
  }
  htmlPage(p.title, [translatePaper(p, tell)], { from: '', by: '', at: '' }, { ...usualPrint, telling: { language: 'xx', tell } })
}

const bookOf = (prepared: Prepared): SpeciesBook =>
  speciesBook(facts.matter().species, [...prepared.mechanism.species, ...(prepared.mechanism.netSpecies ?? [])])

function day(prepared: Prepared, collect: Collect): void {
  const all = house()
  const book = bookOf(prepared)
  const { demonstration, cautions, makeUp, poured } = prepared
  const { title } = demonstration
  walk({ ...cautions, air: [] }, (text) => collect('cautions', text))
  walk(makeUp, (text) => collect('makeup', text))
  walk(
    poured.map((p) => p.canItWork),
    (text) => collect('mechanism', text),
  )
  problems(prepared.warnings, collect)
  const rehearsals = demonstration.vessels.flatMap((v) => got(rehearseVessel(prepared, v.id, all.day), collect) ?? [])
  for (const r of rehearsals)
    walk({ ...r, strip: [], faults: r.faults, remarks: [], inventories: [], start: null, end: null }, (text) => collect('rehearsal', text))
  for (const r of rehearsals) problems(r.remarks, collect)
  const plans = rehearsals.flatMap((r) => got(clearVessel(prepared, r, all.day), collect) ?? [])
  walk(plans, (text) => collect('clearing', text))
  const reaction = 'name' in demonstration.reaction ? demonstration.reaction.name : demonstration.reaction.file
  const runs = rehearsals.flatMap((r) =>
    r.turns.length > 1
      ? [{ vessel: r.vessel, startedAt: '2026-11-25 10:00', turnsSeenS: r.turns.slice(0, 3).map((t) => 1.2 * t.timeS + 2), notes: [] }]
      : [],
  )
  const recipe = { ...demonstration, reaction }
  for (const p of dayPapers({ recipe, cautions, makeUp, poured, rehearsals, plans, runs, hazards: all.day.hazards }, PAPER_KINDS, book)) {
    paper(p, collect)
  }
  paper(daySheet({ title, cautions, makeUp, poured, rehearsals, plans }, book), collect)
  for (const v of demonstration.vessels.slice(0, 1)) {
    const reasons = got(reasonsOf(prepared, { vessel: v.id, answersTo: 'nothing' }, all.day), collect)
    if (reasons) {
      walk(reasons, (text) => collect('reasons', text))
      paper(reasonsSheet(title, [{ ...reasons, mechanism: prepared.mechanism }], cautions, book), collect)
    }
  }
  paper(mechanismSheet(prepared.mechanism, book), collect)
  if (demonstration.found.length > 0) {
    const compared = got(compareFound(demonstration, all.day), collect)
    if (compared) {
      walk(compared, (text) => collect('makeup', text))
      paper(comparisonSheet(title, compared, cautions, book), collect)
    }
  }
}

/** What varies a recipe; slow, so only for some examples. */
function varied(prepared: Prepared, collect: Collect): void {
  const { day: known } = house()
  const book = bookOf(prepared)
  const { title, vessels } = prepared.demonstration
  const vessel = vessels[0]?.id ?? ''
  const [first, second] = [...new Set(prepared.makeUp.portions.map((p) => p.bottle))]
  const range = (what: string) => ({ what, from: undefined, to: undefined, steps: undefined })
  for (const what of [first ?? '', 'temperature', 'depth']) {
    const carpet = got(varyVessel(prepared, { vessel, range: range(what), rows: 4 }, known), collect)
    if (carpet) paper(carpetSheet(title, carpet, prepared.cautions, book), collect)
  }
  const coast = got(
    coastOfVessel(prepared, { vessel, x: range(first ?? ''), y: range(second ?? ''), coarse: 2, halvings: 0, mostRuns: 9 }, known),
    collect,
  )
  if (coast) paper(coastSheet(title, coast, prepared.cautions, book), collect)
  for (const [feature, wanted] of [
    ['first-turn', [30, 60]],
    ['first-turn', [1e5, 2e5]],
  ] as const satisfies readonly (readonly [AimTarget, readonly [number, number]])[]) {
    const aim = got(aimOfVessel(prepared, { vessel, feature, wanted, by: first ?? '', band: 0, seed: 1 }, known), collect)
    if (aim) {
      walk(aim.answer, (text) => collect('rehearsal', text))
      paper(aimSheet(title, aim, aim.cautions ?? prepared.cautions, book), collect)
    }
  }
  for (const seen of [{ firstTurnS: 200 }, { nothingUntilS: 600 }]) {
    const found = got(mistakesOfVessel(prepared, { vessel, seen }, known), collect)
    if (found) {
      walk(found, (text) => collect('rehearsal', text))
      paper(mistakesSheet(title, found, prepared.cautions, book), collect)
    }
  }
}

const namesIn = (folder: string): readonly string[] =>
  readdirSync(here(folder))
    .filter((n) => n.endsWith('.yaml') && !n.endsWith('.steps.yaml'))
    .sort()

/** The user's own words in a document: names, title, story, stated measures; they stay as they are in every language. */
function ownWords(d: Demonstration): readonly string[] {
  const recipes = [{ bottles: d.bottles, solutions: d.solutions }, ...d.found]
  return [
    d.title,
    d.story,
    ...Object.values(d.controls),
    ...d.found.map((f) => f.name),
    ...d.vessels.map((v) => v.id),
    ...recipes.flatMap((r) => [
      ...r.bottles.flatMap((b) => [b.id, b.substance]),
      ...r.solutions.flatMap((s) => [s.id, ...s.ingredients.map((i) => `${s.id}/${i.bottle}`)]),
    ]),
  ]
}

/** Names of the examples in the order in which they are read. */
export const exampleNames: readonly string[] = [...namesIn('right').map((n) => `right/${n}`), ...namesIn('wrong').map((n) => `wrong/${n}`)]
/** Examples whose carpets, coasts, aims and mistakes are collected too. */
const VARIED: readonly string[] = ['right/patient-clock.yaml', 'right/sudden-night.yaml']

/** Every sentence of one example; gives the words in it that are the user's own. */
export function sentencesOf(example: string, collect: Collect): readonly string[] {
  const [folder = '', file = ''] = example.split('/')
  const all = house()
  const text = readFileSync(here(example), 'utf8')
  const opened = got(openDocument(text, file, besideIn(folder), all), collect)
  const prepared = opened && got(prepareDocument(opened, all), collect)
  // What a document that is not understood calls its substances is repeated to its writer as it stands.
  const typed = Array.from(text.matchAll(/substance: *([^,}\n]+)/g), (m) => m[1]!.trim())
  const words = [...typed, ...(opened === null ? [] : ownWords(opened.demonstration))]
  if (!prepared) return words
  const own = new Set(words)
  const notOwn: Collect = (room, said) => {
    if (!own.has(said)) collect(room, said)
  }
  if (folder === 'right') day(prepared, notOwn)
  else walk({ ...prepared.cautions, air: [] }, (said) => notOwn('cautions', said))
  if (VARIED.includes(example)) varied(prepared, notOwn)
  return words
}

/** Sentences of no example: the statements of labels, and the sheets of the catalogue. */
export function sentencesOfTables(collect: Collect): void {
  for (const text of Object.values(facts.hazards().codes)) collect('cautions', text)
  for (const s of facts.matter().substances) collect('substances', s.name)
  for (const s of Object.values(facts.matter().species)) collect('substances', s.name)
  const read = facts.mechanisms().flatMap((m) => {
    const mechanism = parseMechanism(m.text, m.file, () => done(''))
    return mechanism.ok ? [mechanism.value] : []
  })
  paper(catalogueSheet(read, facts.mechanismDefaults()), collect)
}
