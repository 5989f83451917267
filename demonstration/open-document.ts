/** From the text of a document to a demonstration with its mechanism, ready for the day. Pure: files are given as texts, the catalogue as facts. */
import { done, inReadingOrder, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { type CatalogueFile, findMechanism, type Mechanism, parseMechanism } from '@beakertide/core/mechanism'
import { type DayFacts, type Prepared, prepare } from './day.ts'
import type { Demonstration } from './demonstration.ts'
import { parseDemonstration } from './parse-demonstration.ts'

/** A document and the files that stand beside it (a mechanism of its own, a model in the exchange standard), by bare file name. */
export interface DocumentText {
  readonly text: string
  readonly beside: Readonly<Record<string, string>>
}

/** Everything a document is judged by: tables, and the catalogue of mechanisms with its plain names. */
export interface HouseFacts {
  readonly day: DayFacts
  readonly mechanisms: readonly CatalogueFile[]
  readonly mechanismDefaults: Readonly<Record<string, string>>
}

/** A file beside the document by its bare name; `why` it cannot be had. */
export type BesideFile = (name: string) => { readonly ok: true; readonly text: string } | { readonly ok: false; readonly why: string }

export interface OpenDocument {
  readonly demonstration: Demonstration
  readonly mechanism: Mechanism
  readonly warnings: readonly Problem[]
  /** The text, and those files beside it that were really needed: with them it opens anywhere. */
  readonly document: DocumentText
}

/** Whatever a document says, only the last part of a path is used: nothing outside its folder is read. */
const bareName = (path: string): string => path.split(/[\\/]/).at(-1) ?? path

/** Names a document may use for a reaction: plain names and full ones. */
export function reactionNames(facts: Pick<HouseFacts, 'mechanisms' | 'mechanismDefaults'>): readonly string[] {
  return [...Object.keys(facts.mechanismDefaults), ...facts.mechanisms.map((m) => m.name)]
}

/** The files that a document itself carries. */
export const besideIn =
  (document: DocumentText): BesideFile =>
  (name) => {
    const text = Object.hasOwn(document.beside, name) ? document.beside[name] : undefined
    return text === undefined ? { ok: false, why: 'there is no such file' } : { ok: true, text }
  }

/** The mechanism that a document names: of the catalogue, or the one file beside the document. */
export function mechanismFor(
  reaction: Demonstration['reaction'],
  beside: BesideFile,
  facts: Pick<HouseFacts, 'mechanisms' | 'mechanismDefaults'>,
): Outcome<Mechanism> {
  if ('name' in reaction) return findMechanism(reaction.name, facts.mechanisms, facts.mechanismDefaults)
  const name = bareName(reaction.file)
  const read = beside(name)
  if (read.ok) return parseMechanism(read.text, name, (model) => modelText(bareName(model), model, beside))
  return refuse({
    code: 'desk/no-reaction-file',
    where: `reaction "${reaction.file}"`,
    what: `the file beside the document cannot be read: ${read.why}`,
    todo: 'put the mechanism file beside the document, or name a mechanism of the catalogue ("beakertide mechanisms" lists them)',
  })
}

/** The model that a mechanism file takes its steps from; it stands beside the document too. */
function modelText(name: string, written: string, beside: BesideFile): Outcome<string> {
  const read = beside(name)
  if (read.ok) return done(read.text)
  return refuse({
    code: 'desk/no-model-file',
    where: `steps from "${written}"`,
    what: `the file beside the document cannot be read: ${read.why}`,
    todo: 'put the file beside the document',
  })
}

/** Reads and checks the document called `name` in messages, and its mechanism. All problems of both at once. */
export function openDocument(text: string, name: string, beside: BesideFile, facts: HouseFacts): Outcome<OpenDocument> {
  const parsed = parseDemonstration(text, name, { reactions: reactionNames(facts), matter: facts.day.matter })
  if (!parsed.ok) return parsed
  const used: Record<string, string> = {}
  const mechanism = mechanismFor(
    parsed.value.reaction,
    (file) => {
      const read = beside(file)
      if (read.ok) used[file] = read.text
      return read
    },
    facts,
  )
  if (!mechanism.ok) return mechanism
  const warnings = [...parsed.warnings, ...mechanism.warnings]
  return done({ demonstration: parsed.value, mechanism: mechanism.value, warnings, document: { text, beside: used } }, warnings)
}

/** An open document made ready: make-up, mixtures, cautions. `instead`: a mechanism other than the document's own. */
export function prepareDocument(open: OpenDocument, facts: HouseFacts, instead?: Mechanism): Outcome<Prepared> {
  const prepared = prepare(open.demonstration, instead ?? open.mechanism, facts.day)
  if (!prepared.ok) return prepared
  const warnings = inReadingOrder([...open.warnings, ...prepared.value.warnings])
  return done({ ...prepared.value, warnings }, warnings)
}
