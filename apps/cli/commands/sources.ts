/** `sources`: where every number of a demonstration comes from. */
import { buildCommand } from '@stricli/core'
import { distinctSources } from '@beakertide/basis/sources'
import { sourcesSheet } from '@beakertide/core/papers'
import { answerOf } from '../answer.ts'
import type { Door } from '../terminal/door.ts'
import { answerFlags, fileArgument, mechanismFlag } from './flags.ts'
import { openCleared } from './clear.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly mechanism?: string
}

export const sourcesCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'Where every number comes from, and how far each was seen' },
  parameters: { flags: { ...answerFlags, ...mechanismFlag }, positional: fileArgument },
  func(flags, path) {
    answerOf(this, flags, 'sources', path, openCleared(this, path, flags), (c, warnings) => {
      const { prepared } = c
      const sources = distinctSources([
        ...prepared.makeUp.sources,
        ...prepared.poured.flatMap((v) => v.equilibrium?.sources ?? []),
        ...c.rehearsals.flatMap((r) => r.sources),
        ...c.plans.flatMap((p) => p.sources),
        ...prepared.cautions.list.map((l) => l.source),
      ])
      return {
        command: 'sources',
        file: path,
        cautions: prepared.cautions,
        warnings,
        papers: [sourcesSheet(prepared.demonstration.title, sources, prepared.cautions)],
        result: { title: prepared.demonstration.title, sources },
      }
    })
  },
})
