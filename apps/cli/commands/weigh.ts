/** `weigh`: what to weigh and measure, in working order, with the strengths it gives. */
import { buildCommand } from '@stricli/core'
import { done, type Outcome } from '@beakertide/basis/problems'
import { scaleRecipe } from '@beakertide/core/makeup'
import { makeUpSheet, shoppingSheet } from '@beakertide/core/papers'
import { prepare, type Prepared } from '@beakertide/demonstration'
import { answerOf } from '../answer.ts'
import { bookFor, dayFacts, openPrepared } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { aboveZero, answerFlags, countingNumber, fileArgument, fromZero } from './flags.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly litres?: number
  readonly vessels?: number
  readonly spare?: number
}

/** Per cent to share. */
const PER_CENT = 100

function scaled(prepared: Outcome<Prepared>, flags: Flags): Outcome<Prepared> {
  if (!prepared.ok || (flags.litres === undefined && flags.vessels === undefined && flags.spare === undefined)) return prepared
  const d = prepared.value.demonstration
  const sized = scaleRecipe(d.solutions, d.vessels, {
    ...(flags.litres === undefined ? {} : { vesselVolumeL: flags.litres }),
    ...(flags.vessels === undefined ? {} : { numberOfVessels: flags.vessels }),
    ...(flags.spare === undefined ? {} : { spareShare: flags.spare / PER_CENT }),
  })
  if (!sized.ok) return sized
  const again = prepare({ ...d, solutions: sized.value.solutions, vessels: sized.value.vessels }, prepared.value.mechanism, dayFacts())
  return again.ok ? done(again.value, [...sized.warnings, ...again.warnings]) : again
}

export const weighCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'What to weigh and measure, in working order, and the strengths it gives' },
  parameters: {
    flags: {
      ...answerFlags,
      litres: {
        kind: 'parsed',
        parse: aboveZero,
        brief: 'Scale to this much liquid in each vessel, litres',
        optional: true,
        placeholder: 'L',
      },
      vessels: { kind: 'parsed', parse: countingNumber, brief: 'Scale to this many of each vessel', optional: true, placeholder: 'n' },
      spare: {
        kind: 'parsed',
        parse: fromZero,
        brief: 'Make this much more than is poured, per cent (with scaling)',
        optional: true,
        placeholder: '%',
      },
    },
    positional: fileArgument,
  },
  func(flags, path) {
    answerOf(this, flags, 'weigh', path, scaled(openPrepared(this, path), flags), (p, warnings) => ({
      command: 'weigh',
      file: path,
      cautions: p.cautions,
      warnings,
      book: bookFor(p.mechanism),
      papers: [makeUpSheet, shoppingSheet].map((sheet) => sheet(p.demonstration.title, p.makeUp, p.cautions, bookFor(p.mechanism))),
      result: { title: p.demonstration.title, makeUp: p.makeUp },
    }))
  },
})
