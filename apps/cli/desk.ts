/** From a path to a demonstration with its mechanism: the only place of the command line that reads documents. */
import { done, type Outcome, refuse } from '@beakertide/basis/problems'
import { treeLimits } from '@beakertide/basis/text'
import type { Cautions } from '@beakertide/core/cautions'
import { findMechanism, type Mechanism } from '@beakertide/core/mechanism'
import { type SpeciesBook, speciesBook } from '@beakertide/core/papers'
import { facts } from '@beakertide/data'
import {
  type DayFacts,
  type HouseFacts,
  type JobHead,
  knownCautions,
  openDocument as openText,
  type OpenDocument,
  type Prepared,
  prepareDocument,
} from '@beakertide/demonstration'
import type { Door } from './terminal/door.ts'

export type { OpenDocument } from '@beakertide/demonstration'

/** A character takes at most four bytes; more than this cannot be a document that is read. */
const MOST_BYTES = 4 * treeLimits.mostCharacters

/** All tables, read when first asked for. */
export function dayFacts(): DayFacts {
  return facts.day()
}

/** The tables, and the catalogue of mechanisms. */
export function houseFacts(): HouseFacts {
  return { day: facts.day(), mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
}

function readOrRefuse(door: Door, path: string): Outcome<string> {
  const read = door.readText(path, MOST_BYTES)
  if (read.ok) return done(read.text)
  return refuse({
    code: 'desk/cannot-read',
    where: path,
    what: read.why,
    todo: 'give the path of a demonstration file, as in "beakertide day examples/right/tide-in-a-jar.yaml"',
  })
}

/** What a paper may name: the species table, and the species that only this mechanism knows. */
export function bookFor(mechanism: Mechanism): SpeciesBook {
  return speciesBook(facts.matter().species, [...mechanism.species, ...(mechanism.netSpecies ?? [])])
}

/** Reads and checks the document at `path`, and its mechanism. All problems of both at once. */
export function openDocument(door: Door, path: string): Outcome<OpenDocument> {
  const text = readOrRefuse(door, path)
  if (text.ok) lastRead.set(door, { path, text: text.value })
  return text.ok ? openText(text.value, path, (name) => door.readBeside(path, name, MOST_BYTES), houseFacts()) : text
}

/** A mechanism of the catalogue, parsed and as text. */
function catalogued(name: string): Outcome<{ readonly mechanism: Mechanism; readonly file: string; readonly text: string }> {
  const defaults = facts.mechanismDefaults()
  const found = findMechanism(name, facts.mechanisms(), defaults)
  if (!found.ok) {
    const where = `--mechanism ${name}`
    return { ok: false, problems: found.problems.map((p) => ({ ...p, code: 'desk/no-such-mechanism', where })) }
  }
  const { file, text } = facts.mechanisms().find((m) => m.name === (Object.hasOwn(defaults, name) ? defaults[name] : name))!
  return done({ mechanism: found.value, file, text })
}

/** A day ready for rehearsals, and what its jobs for other threads begin with. */
export interface ReadyDay {
  readonly prepared: Prepared
  readonly head: Omit<JobHead, 'vessel'>
}

/** The document made ready: make-up, mixtures, cautions. */
export function openReady(door: Door, path: string, mechanismName?: string): Outcome<ReadyDay> {
  const opened = openDocument(door, path)
  if (!opened.ok) return opened
  const instead = mechanismName === undefined ? null : catalogued(mechanismName)
  if (instead !== null && !instead.ok) return instead
  const prepared = prepareDocument(opened.value, houseFacts(), instead?.value.mechanism)
  if (!prepared.ok) return prepared
  const mechanism = instead === null ? null : { file: instead.value.file, text: instead.value.text }
  const head = { format: 'beakertide-job/1', document: opened.value.document, name: path, mechanism } as const
  return done({ prepared: prepared.value, head }, prepared.warnings)
}

/** The document that each door read last: what is told of it when there is no answer is told of the same text. */
const lastRead = new WeakMap<Door, { readonly path: string; readonly text: string }>()

/** The cautions that are known of the document at `path`, read before, although it gives no answer; null where nothing of it can be read. */
export function cautionsWithoutAnswer(door: Door, path: string): Cautions | null {
  const read = lastRead.get(door)
  return read?.path === path ? knownCautions(read.text, path, dayFacts()) : null
}

/** As `openReady`, for work that needs no other thread. */
export function openPrepared(door: Door, path: string, mechanismName?: string): Outcome<Prepared> {
  const ready = openReady(door, path, mechanismName)
  return ready.ok ? done(ready.value.prepared, ready.warnings) : ready
}
