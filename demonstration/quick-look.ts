/**
 * A look while a slider is held: the changed recipe made up, asked for danger and rehearsed at display accuracy, soon enough to be done
 * for every picture that a screen shows. Nothing here replaces the rehearsal: when the slider rests, the document is prepared and
 * rehearsed whole.
 */
import { done, type Outcome, type Problem } from '@beakertide/basis/problems'
import { celsiusToKelvin } from '@beakertide/basis/units'
import { type Caution, type Cautions, cautionsFor, refusals, sceneOf, worseCautions } from '@beakertide/core/cautions'
import { type MakeUp, makeUp } from '@beakertide/core/makeup'
import { rehearseForShow, type StripSample, type Trace, type Turn } from '@beakertide/core/rehearsal'
import { withChangedAmount } from './changed-recipe.ts'
import { type DayFacts, type Prepared, prepare, requestOfMany, substancesOf, usualRehearsal } from './day.ts'
import type { Demonstration } from './demonstration.ts'

/** Changes held on sliders, not in the document. */
export interface QuickChanges {
  /** "solution/bottle" -> factor on the amount (0: left out). */
  readonly amounts: Readonly<Record<string, number>>
  /** Room and solutions, °C; null: as the document says. */
  readonly celsius: number | null
  /** Liquid looked through, cm; null: as the document says. */
  readonly depthCm: number | null
  /** "I1.k" -> factor on a constant of the mechanism; no document can hold it. */
  readonly constants: Readonly<Record<string, number>>
}

/** What a screen shows of it. Times in s on the document's clock unless a name says otherwise, as in a rehearsal. */
export interface QuickLook {
  readonly vessel: string
  readonly startS: number
  readonly toS: number
  readonly turns: readonly Turn[]
  readonly inductionS: number | null
  readonly periodsS: readonly number[]
  readonly cycles: number
  readonly endS: number | null
  readonly stillGoing: boolean
  readonly cause: string
  readonly strip: readonly StripSample[]
  readonly traces: readonly Trace[]
  readonly temperatureRangeK: readonly [number, number]
  readonly gasL: number
  /** What the changes add to the cautions of the recipe as written, worst first: to be shown before any changed amount. */
  readonly worse: readonly Caution[]
  readonly problems: readonly Problem[]
}

/**
 * Display accuracy: on the shipped examples the first turn is that of the full rehearsal within 2 % or a second, the middle period
 * within 3 %, and the cycles within one in ten (tested). A quarter of a minute of a ten-minute strip is a dozen samples.
 */
export const displayRehearsal = { relativeTolerance: 3e-3, samples: 601 } as const

function changedDocument(d: Demonstration, vessel: string, changes: QuickChanges): Demonstration {
  let out = d
  for (const [key, factor] of Object.entries(changes.amounts)) {
    out = withChangedAmount(out, { of: 'ingredient', name: key, portions: [key] }, factor)
  }
  if (changes.celsius !== null) out = { ...out, room: { ...out.room, temperatureK: celsiusToKelvin(changes.celsius) } }
  const { depthCm } = changes
  return depthCm === null ? out : { ...out, vessels: out.vessels.map((v) => (v.id === vessel ? { ...v, depthCm } : v)) }
}

/**
 * Cautions at the speed of a slider: without the pH that settling a mixture would give, so they are held against cautions asked in the
 * same way, never against those of the whole document.
 */
function quickCautions(d: Demonstration, made: MakeUp, facts: DayFacts): Outcome<Cautions> {
  const scene = sceneOf(made, substancesOf(d, facts.matter), d.vessels, d.room, d.controls)
  return scene.ok ? cautionsFor(scene.value, facts.hazards) : scene
}

/** Those of the recipes as written, from one look to the next. */
const asWritten = new WeakMap<Prepared, Cautions>()

function worseThanWritten(prepared: Prepared, changed: Prepared, facts: DayFacts): readonly Caution[] {
  let before = asWritten.get(prepared)
  if (before === undefined) {
    const asked = quickCautions(prepared.demonstration, prepared.makeUp, facts)
    before = asked.ok ? asked.value : prepared.cautions
    asWritten.set(prepared, before)
  }
  return worseCautions(before, changed.cautions)
}

/** What the make-up and the cautions of the changed document say; refused like any document. */
function madeAnew(d: Demonstration, prepared: Prepared, facts: DayFacts): Outcome<Prepared> {
  const made = makeUp(d.bottles, d.solutions, d.vessels, d.room, d.tools, facts)
  if (!made.ok) return made
  const cautions = quickCautions(d, made.value, facts)
  if (!cautions.ok) return cautions
  if (cautions.value.refused) return { ok: false, problems: refusals(cautions.value) }
  return done({ ...prepared, demonstration: d, makeUp: made.value, cautions: cautions.value }, made.warnings)
}

const changesRecipe = (changes: QuickChanges): boolean => Object.values(changes.amounts).some((f) => f !== 1) || changes.celsius !== null

/** How closely a look is taken. */
interface Care {
  readonly accuracy: { readonly relativeTolerance: number; readonly samples: number }
  /** The changed document made ready; refused like any document. */
  make(d: Demonstration, prepared: Prepared, facts: DayFacts): Outcome<Prepared>
  /** What its cautions add to those of the recipe as written. */
  worse(prepared: Prepared, made: Prepared, facts: DayFacts): readonly Caution[]
}

/** One vessel rehearsed with changes worked in; what boils on pouring is refused whatever the accuracy. */
function lookAt(prepared: Prepared, vessel: string, changes: QuickChanges, care: Care, facts: DayFacts): Outcome<QuickLook> {
  const d = changedDocument(prepared.demonstration, vessel, changes)
  const isChanged = changesRecipe(changes)
  const made = isChanged ? care.make(d, prepared, facts) : done({ ...prepared, demonstration: d })
  if (!made.ok) return made
  const { constants } = changes
  const run = rehearseForShow({ ...requestOfMany(made.value, vessel, care.accuracy), constants }, facts)
  if (!run.ok) return run
  // Pouring that boils is refused like any other danger, unless the document states how it is controlled.
  const dangers = run.value.remarks.filter((r) => r.danger === true && d.controls[r.code] === undefined)
  if (dangers.length > 0) return { ok: false, problems: dangers }
  const { startS, turns, inductionS, periodsS, cycles, endS, stillGoing, cause, strip, traces, temperatureRangeK, gasL } = run.value
  const problems = [...run.value.remarks].sort((a, b) => Number(b.danger ?? false) - Number(a.danger ?? false))
  return done(
    {
      vessel,
      startS,
      toS: strip.at(-1)?.timeS ?? startS,
      turns,
      inductionS,
      periodsS,
      cycles,
      endS,
      stillGoing,
      cause,
      strip,
      traces,
      temperatureRangeK,
      gasL,
      worse: isChanged ? care.worse(prepared, made.value, facts) : [],
      problems,
    },
    problems,
  )
}

const quickCare: Care = { accuracy: displayRehearsal, make: madeAnew, worse: worseThanWritten }

const fineCare: Care = {
  accuracy: usualRehearsal,
  make: (d, prepared, facts) => prepare(d, prepared.mechanism, facts),
  worse: (prepared, made) => worseCautions(prepared.cautions, made.cautions),
}

/**
 * The look at one vessel of a prepared day with changes worked in. Problems: what cautions refuse (`danger`), an amount that cannot be made
 * up, a mixture that cannot be settled. Warnings, also in `problems`: what a person should read beside the picture, dangers first.
 */
export function quickLook(prepared: Prepared, vessel: string, changes: QuickChanges, facts: DayFacts): Outcome<QuickLook> {
  return lookAt(prepared, vessel, changes, quickCare, facts)
}

/**
 * The same look when the sliders rest: the accuracy of a rehearsal, and the changed document prepared whole, so that everything that
 * would refuse it as a document refuses it here. Takes as long as a rehearsal.
 */
export function fineLook(prepared: Prepared, vessel: string, changes: QuickChanges, facts: DayFacts): Outcome<QuickLook> {
  return lookAt(prepared, vessel, changes, fineCare, facts)
}
