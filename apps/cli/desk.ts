/** From a path to a demonstration with its mechanism: the only place of the command line that reads documents. */
import { basename } from 'node:path'
import { done, inReadingOrder, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { treeLimits } from '@beakertide/basis/text'
import { findMechanism, type Mechanism, parseMechanism } from '@beakertide/core/mechanism'
import { type SpeciesBook, speciesBook } from '@beakertide/core/papers'
import { facts } from '@beakertide/data'
import { type DayFacts, type Demonstration, parseDemonstration, type Prepared, prepare } from '@beakertide/demonstration'
import type { Door } from './terminal/door.ts'

/** A character takes at most four bytes; more than this cannot be a document that is read. */
const MOST_BYTES = 4 * treeLimits.mostCharacters

export interface OpenDocument {
  readonly path: string
  readonly demonstration: Demonstration
  readonly mechanism: Mechanism
  readonly warnings: readonly Problem[]
}

/** All tables, read when first asked for. */
export function dayFacts(): DayFacts {
  return facts.day()
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

/** Names a document may use for a reaction: plain names and full ones. */
function reactionNames(): readonly string[] {
  return [...Object.keys(facts.mechanismDefaults()), ...facts.mechanisms().map((m) => m.name)]
}

/** The model that a mechanism file takes its steps from; it stands beside the document too. */
function besideText(door: Door, document: string, name: string): Outcome<string> {
  const read = door.readBeside(document, basename(name), MOST_BYTES)
  if (read.ok) return done(read.text)
  return refuse({
    code: 'desk/no-model-file',
    where: `steps from "${name}"`,
    what: `the file beside the document cannot be read: ${read.why}`,
    todo: 'put the file beside the document',
  })
}

/** The mechanism that a document names: of the catalogue, or the one file beside the document. */
export function mechanismFor(door: Door, reaction: Demonstration['reaction'], document: string): Outcome<Mechanism> {
  if ('name' in reaction) return findMechanism(reaction.name, facts.mechanisms(), facts.mechanismDefaults())
  // Only the bare name is used: whatever the document says, nothing outside its folder is read.
  const name = basename(reaction.file)
  const read = door.readBeside(document, name, MOST_BYTES)
  if (read.ok) return parseMechanism(read.text, name, (other) => besideText(door, document, other))
  return refuse({
    code: 'desk/no-reaction-file',
    where: `reaction "${reaction.file}"`,
    what: `the file beside the document cannot be read: ${read.why}`,
    todo: 'put the mechanism file beside the document, or name a mechanism of the catalogue ("beakertide mechanisms" lists them)',
  })
}

/** Reads and checks the document at `path`, and its mechanism. All problems of both at once. */
export function openDocument(door: Door, path: string): Outcome<OpenDocument> {
  const text = readOrRefuse(door, path)
  if (!text.ok) return text
  const parsed = parseDemonstration(text.value, path, { reactions: reactionNames(), matter: facts.matter() })
  if (!parsed.ok) return parsed
  const mechanism = mechanismFor(door, parsed.value.reaction, path)
  if (!mechanism.ok) return mechanism
  const warnings = [...parsed.warnings, ...mechanism.warnings]
  return done({ path, demonstration: parsed.value, mechanism: mechanism.value, warnings }, warnings)
}

/** The document made ready: make-up, mixtures, cautions. */
export function openPrepared(door: Door, path: string, mechanismName?: string): Outcome<Prepared> {
  const opened = openDocument(door, path)
  if (!opened.ok) return opened
  let { mechanism } = opened.value
  if (mechanismName !== undefined) {
    const other = findMechanism(mechanismName, facts.mechanisms(), facts.mechanismDefaults())
    if (!other.ok) {
      const where = `--mechanism ${mechanismName}`
      return { ok: false, problems: other.problems.map((p) => ({ ...p, code: 'desk/no-such-mechanism', where })) }
    }
    mechanism = other.value
  }
  const prepared = prepare(opened.value.demonstration, mechanism, dayFacts())
  if (!prepared.ok) return prepared
  const warnings = inReadingOrder([...opened.value.warnings, ...prepared.value.warnings])
  return done({ ...prepared.value, warnings }, warnings)
}
