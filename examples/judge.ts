/** What the program says of a demonstration before anything is shown: the document, its steps, the make-up, the cautions. */
import { done, inReadingOrder, type Outcome } from '@beakertide/basis/problems'
import type { Cautions } from '@beakertide/core/cautions'
import { type MakeUp, makeUp } from '@beakertide/core/makeup'
import { findMechanism, type Mechanism, parseMechanism } from '@beakertide/core/mechanism'
import { facts } from '@beakertide/data'
import { type Demonstration, parseDemonstration, prepare } from '@beakertide/demonstration'

/** Everything that is known once a demonstration may be shown. */
export interface Judged {
  readonly demonstration: Demonstration
  readonly mechanism: Mechanism
  readonly made: MakeUp
  readonly cautions: Cautions
}

/** Names that a document may use: plain names and variants of the catalogue. */
const reactions = [...Object.keys(facts.mechanismDefaults()), ...facts.mechanisms().map((m) => m.name)]

function stepsOf(demonstration: Demonstration, beside: (name: string) => string): Outcome<Mechanism> {
  const { reaction } = demonstration
  if ('file' in reaction) return parseMechanism(beside(reaction.file), reaction.file, (model) => done(beside(model)))
  return findMechanism(reaction.name, facts.mechanisms(), facts.mechanismDefaults())
}

/**
 * The demonstration with what follows from it, or everything that refuses it: the product's own path, with the faults of a
 * mechanism told beside those of the make-up. `beside` reads a file that stands beside the document.
 */
export function judge(text: string, file: string, beside: (name: string) => string): Outcome<Judged> {
  const read = parseDemonstration(text, file, { matter: facts.matter(), reactions })
  if (!read.ok) return read
  const demonstration = read.value
  const steps = stepsOf(demonstration, beside)
  if (!steps.ok) {
    const { bottles, solutions, vessels, room, tools } = demonstration
    const made = makeUp(bottles, solutions, vessels, room, tools, facts.day())
    return { ok: false, problems: inReadingOrder([...steps.problems, ...(made.ok ? [] : made.problems)]) }
  }
  const prepared = prepare(demonstration, steps.value, facts.day())
  if (!prepared.ok) return prepared
  // What mixing leaves out is told by the day; here only what the writer of the document can mend.
  const mendable = prepared.warnings.filter((w) => !w.code.startsWith('mixture/'))
  return done({ demonstration, mechanism: steps.value, made: prepared.value.makeUp, cautions: prepared.value.cautions }, [
    ...read.warnings,
    ...prepared.value.makeUp.remarks,
    ...mendable,
  ])
}
