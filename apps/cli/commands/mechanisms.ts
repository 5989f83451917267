/** `mechanisms`: the catalogue, or one mechanism with its constants, sources and known faults. */
import { buildCommand } from '@stricli/core'
import { done, gather, type Outcome } from '@beakertide/basis/problems'
import { findMechanism, type Mechanism, parseMechanism } from '@beakertide/core/mechanism'
import { catalogueSheet, mechanismSheet } from '@beakertide/core/papers'
import { facts } from '@beakertide/data'
import { answerOf } from '../answer.ts'
import { bookFor } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { answerFlags, anyText } from './flags.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
}

export const mechanismsCommand = buildCommand<Flags, [string?], Door>({
  docs: { brief: 'The catalogue of mechanisms, or one with its constants, sources and known faults' },
  parameters: {
    flags: answerFlags,
    positional: { kind: 'tuple', parameters: [{ brief: 'Name in the catalogue', parse: anyText, optional: true, placeholder: 'name' }] },
  },
  func(flags, name) {
    const files = facts.mechanisms()
    const defaults = facts.mechanismDefaults()
    const found: Outcome<readonly Mechanism[]> =
      name === undefined ? gather(files.map((f) => parseMechanism(f.text, f.file))) : mapOne(findMechanism(name, files, defaults))
    answerOf(this, flags, 'mechanisms', null, found, (list, warnings) => ({
      command: 'mechanisms',
      file: null,
      cautions: null,
      warnings,
      papers: name === undefined ? [catalogueSheet(list, defaults)] : list.map((m) => mechanismSheet(m, bookFor(m))),
      result:
        name === undefined
          ? {
              defaults,
              mechanisms: list.map((m) => ({
                name: m.name,
                title: m.title,
                grade: m.grade,
                steps: m.steps.length,
                faults: m.faults,
                bands: m.bands,
              })),
            }
          : { mechanism: list[0] },
    }))
  },
})

function mapOne<T>(one: Outcome<T>): Outcome<readonly T[]> {
  return one.ok ? done([one.value], one.warnings) : one
}
