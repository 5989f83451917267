/** What the program says of a demonstration before anything is shown: the document, its steps, the make-up, the cautions. */
import { done, inReadingOrder, type Outcome, type Problem } from '@beakertide/basis/problems'
import { type Cautions, cautionsFor, refusals, sceneOf } from '@beakertide/core/cautions'
import { type MakeUp, makeUp } from '@beakertide/core/makeup'
import { findSubstance, type Substance } from '@beakertide/core/matter'
import { type Mechanism, parseMechanism } from '@beakertide/core/mechanism'
import { facts } from '@beakertide/data'
import { type Demonstration, parseDemonstration } from '@beakertide/demonstration'

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
  if ('file' in reaction) return parseMechanism(beside(reaction.file), reaction.file)
  const name = facts.mechanismDefaults()[reaction.name] ?? reaction.name
  const file = facts.mechanisms().find((m) => m.name === name)
  if (!file) throw new Error(`the catalogue has no file for "${name}"`)
  return parseMechanism(file.text, file.file)
}

/** The demonstration with what follows from it, or everything that refuses it. `beside` reads a file that stands beside the document. */
export function judge(text: string, file: string, beside: (name: string) => string): Outcome<Judged> {
  const read = parseDemonstration(text, file, { matter: facts.matter(), reactions })
  if (!read.ok) return read
  const demonstration = read.value
  const { bottles, solutions, vessels, room, tools, controls } = demonstration
  const steps = stepsOf(demonstration, beside)
  const made = makeUp(bottles, solutions, vessels, room, tools, { matter: facts.matter(), glassware: facts.glassware() })
  if (!steps.ok || !made.ok) {
    const problems: Problem[] = [...(steps.ok ? [] : steps.problems), ...(made.ok ? [] : made.problems)]
    return { ok: false, problems: inReadingOrder(problems) }
  }
  const substances: Record<string, Substance> = {}
  for (const bottle of bottles) {
    const found = findSubstance(bottle.substance, bottle.hydrate, facts.matter())
    if (found.ok) substances[bottle.id] = found.value
  }
  const scene = sceneOf(made.value, substances, vessels, room, controls)
  if (!scene.ok) return scene
  const cautions = cautionsFor(scene.value, facts.hazards())
  if (!cautions.ok) return cautions
  const refused = refusals(cautions.value)
  if (refused.length > 0) return { ok: false, problems: refused }
  return done({ demonstration, mechanism: steps.value, made: made.value, cautions: cautions.value }, [
    ...read.warnings,
    ...made.value.remarks,
    ...cautions.warnings,
  ])
}
