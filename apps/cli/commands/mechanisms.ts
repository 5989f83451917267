/** `mechanisms`: the catalogue, or one mechanism with its constants, sources and known faults; written out in the open exchange standard too. */
import { buildCommand } from '@stricli/core'
import { done, gather, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { exchangeOf, findMechanism, type Mechanism, parseMechanism, writeExchange } from '@beakertide/core/mechanism'
import { catalogueSheet, mechanismSheet } from '@beakertide/core/papers'
import { facts } from '@beakertide/data'
import { answerOf } from '../answer.ts'
import { bookFor } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { writeOrRefuse } from '../write.ts'
import { answerFlags, anyText, outFlag } from './flags.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly sbml?: string
}

interface Listed {
  readonly mechanisms: readonly Mechanism[]
  readonly written: readonly string[]
}

/** The catalogue, or the one of that name. */
function listed(name: string | undefined): Outcome<readonly Mechanism[]> {
  const files = facts.mechanisms()
  if (name === undefined) return gather(files.map((f) => parseMechanism(f.text, f.file)))
  const one = findMechanism(name, files, facts.mechanismDefaults())
  return one.ok ? done([one.value], one.warnings) : one
}

/** Writes the one mechanism asked for as SBML, if that is wanted; warnings say what the standard has no place for. */
function withExport(door: Door, found: Outcome<readonly Mechanism[]>, name: string | undefined, path: string | undefined): Outcome<Listed> {
  if (!found.ok) return found
  if (path === undefined) return done({ mechanisms: found.value, written: [] }, found.warnings)
  const mechanism = found.value[0]
  if (name === undefined || mechanism === undefined) {
    return refuse({
      code: 'desk/which-mechanism',
      where: '--sbml',
      what: 'a file holds one mechanism, and none is named',
      todo: 'name one, as in "beakertide mechanisms iodate-bisulfite --sbml steps.xml"',
    })
  }
  const model = exchangeOf(mechanism)
  if (!model.ok) return model
  const written = writeOrRefuse(door, path, writeExchange(model.value))
  const warnings: readonly Problem[] = [...found.warnings, ...model.warnings]
  return written.ok ? done({ mechanisms: found.value, written: [written.value] }, warnings) : written
}

export const mechanismsCommand = buildCommand<Flags, [string?], Door>({
  docs: { brief: 'The catalogue of mechanisms, or one with its constants, sources and known faults' },
  parameters: {
    flags: { ...answerFlags, sbml: outFlag('Write the named mechanism as SBML Level 3, the open exchange standard') },
    positional: { kind: 'tuple', parameters: [{ brief: 'Name in the catalogue', parse: anyText, optional: true, placeholder: 'name' }] },
  },
  func(flags, name) {
    const defaults = facts.mechanismDefaults()
    answerOf(
      this,
      flags,
      'mechanisms',
      null,
      withExport(this, listed(name), name, flags.sbml),
      ({ mechanisms: list, written }, warnings) => ({
        command: 'mechanisms',
        file: null,
        cautions: null,
        warnings,
        ...(written.length > 0 ? { last: `Wrote ${written.join(', ')}.` } : {}),
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
            : { mechanism: list[0], written },
      }),
    )
  },
})
