/** `check`: can it work, does it dissolve, is it safe; nothing is rehearsed. */
import { buildCommand } from '@stricli/core'
import { answerOf, EXIT } from '../answer.ts'
import { bookFor, openPrepared } from '../desk.ts'
import { checkSheet } from '@beakertide/core/papers'
import type { Door } from '../terminal/door.ts'
import { answerFlags, fileArgument, mechanismFlag } from './flags.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly mechanism?: string
}

export const checkCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'Can it work, does it dissolve, is it safe: before anything is weighed' },
  parameters: { flags: { ...answerFlags, ...mechanismFlag }, positional: fileArgument },
  func(flags, path) {
    answerOf(this, flags, 'check', path, openPrepared(this, path, flags.mechanism), (p, warnings) => {
      const works = p.poured.every((v) => v.canItWork.works)
      return {
        command: 'check',
        file: path,
        cautions: p.cautions,
        warnings,
        book: bookFor(p.mechanism),
        papers: [checkSheet(p.demonstration.title, p.makeUp, p.poured, p.cautions, bookFor(p.mechanism))],
        result: { title: p.demonstration.title, mechanism: p.mechanism.name, works, vessels: p.poured, solubility: p.makeUp.solubility },
        exit: works ? EXIT.done : EXIT.problems,
      }
    })
  },
})
