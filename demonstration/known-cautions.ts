/** The dangers of a document that could not be prepared: it is refused, or something in it is wrong. A problem takes no caution away. */
import { type Caution, type Cautions, cautionsFor, type InPart, poursOfMade, sceneInPart } from '@beakertide/core/cautions'
import { makeInPart, makeUp } from '@beakertide/core/makeup'
import { compoundNamed, type Substance } from '@beakertide/core/matter'
import { mix } from '@beakertide/core/mixture'
import { cautionsOfScene, type DayFacts, substancesOf } from './day.ts'
import { short } from './fields.ts'
import { type ReadInPart, readInPart } from './parse-demonstration.ts'
import { writtenBottles } from './written-bottles.ts'

/** Heads the cautions of a document with problems. */
const NOT_COMPLETE =
  'These cautions are not complete: the document has problems, and only what could be read of it was looked at. More may be dangerous than stands here.'

/** The substance of every bottle whose compound is known, also where its water is not. */
function compoundsOf(read: ReadInPart, facts: DayFacts): Readonly<Record<string, Substance>> {
  const out: Record<string, Substance> = { ...substancesOf(read, facts.matter) }
  for (const bottle of read.bottles) {
    const named = out[bottle.id] ?? compoundNamed(bottle.substance, facts.matter)
    if (named) out[bottle.id] = named
  }
  return out
}

/** A bottle of which nothing is known is no harmless bottle. */
function unknownBottles(read: ReadInPart, substances: Readonly<Record<string, Substance>>): readonly Caution[] {
  return read.bottles
    .filter((bottle) => substances[bottle.id] === undefined)
    .map((bottle) => ({
      code: 'cautions/hazards-unknown',
      severity: 3,
      about: `bottle "${bottle.id}"`,
      what: `nothing is known of "${short(bottle.substance)}": none of its dangers are among these`,
      instead: "Read the supplier's safety data sheet before opening it, and treat it as harmful until then.",
      source: { source: 'the substance table has no such name', seen: 'computed' },
    }))
}

/** What is made of it, as far as it goes. */
function partOf(read: ReadInPart, facts: DayFacts): InPart {
  const { contents, portions, solutions } = makeInPart(read.bottles, read.solutions, read.vessels, read.room, read.tools, facts)
  const strengths: Record<string, { readonly massFraction: number; readonly molPerL: number | null }> = {}
  for (const [id, content] of contents) {
    strengths[id] = { massFraction: content.massFraction.value, molPerL: content.molPerL?.value ?? null }
  }
  return { made: { portions, solutions }, strengths, written: read.written, poursRead: read.poursRead }
}

/** A document without anything in it, to which bottles are added that no reader of documents could find. */
const EMPTY = 'bottles: {}'

/** The parts that can be read; where the text itself is faulty, with every bottle that its lines name besides. */
function readWhatThereIs(text: string, name: string, facts: DayFacts): ReadInPart | null {
  const read = readInPart(text, name, { matter: facts.matter })
  if (read?.isTextSound === true) return read
  const there = read ?? readInPart(EMPTY, name, { matter: facts.matter })
  if (there === null) return null
  const isKnown = (substance: string): boolean => compoundNamed(substance, facts.matter) !== null
  const ids = new Set(there.bottles.map((b) => b.id))
  const lost = writtenBottles(text, isKnown).filter((b) => !there.bottles.some((r) => r.substance === b.substance))
  // An id that is taken already would hide one of the two.
  const named = lost.map((b) => (ids.has(b.id) ? { ...b, id: b.substance } : b))
  return { ...there, bottles: [...there.bottles, ...named], poursRead: false }
}

/**
 * The cautions of whatever can be read of a document: all its bottles, the solutions that can be made up, the pours of these. `incomplete`
 * stands there as soon as a problem may hide a danger. Null where nothing can be told: no document, or no bottle that is known.
 */
export function knownCautions(text: string, name: string, facts: DayFacts): Cautions | null {
  const read = readWhatThereIs(text, name, facts)
  if (read === null || read.bottles.length === 0) return null
  const part = partOf(read, facts)
  const substances = compoundsOf(read, facts)
  const scene = sceneInPart(part, substances, read.vessels, read.room, read.controls)
  if (!scene.ok) return null
  const mixes = poursOfMade(read.vessels, part.made.solutions).map((vessel) => mix(vessel, part.made.solutions, facts))
  const more = [...cautionsOfScene(mixes, read.room), ...unknownBottles(read, substances)]
  const asked = { equilibria: facts.equilibria, more }
  const whole = cautionsFor(scene.value, facts.hazards, asked)
  // Numbers that make no sense stop the mixtures, never the bottles.
  const bottlesAlone = { ...scene.value, solutions: [], vessels: [], unmade: read.written, poursUnknown: true }
  const found = whole.ok ? whole : cautionsFor(bottlesAlone, facts.hazards, asked)
  if (!found.ok) return null
  const isWhole = whole.ok && read.problems.length === 0 && mixes.every((mixed) => mixed.ok) && isMadeUp(read, facts)
  return isWhole ? found.value : { ...found.value, incomplete: NOT_COMPLETE }
}

const isMadeUp = (read: ReadInPart, facts: DayFacts): boolean =>
  makeUp(read.bottles, read.solutions, read.vessels, read.room, read.tools, facts).ok
