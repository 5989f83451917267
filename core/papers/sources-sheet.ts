/** Where every number of a day comes from, by how it was seen. */
import type { Seen, Source } from '@beakertide/basis/sources'
import type { Cautions } from '../cautions/index.ts'
import { dangerBlock } from './caution-lines.ts'
import type { Block, Paper } from './paper.ts'

const SEEN_WORDS: Readonly<Record<Seen, string>> = {
  read: 'Read in a copy of the source',
  computed: 'Computed from values that were read',
  mixed: 'Partly read, partly from memory',
  memory: 'From memory, to be confirmed',
  practice: 'Common practice, no source',
  assumed: 'Assumed here, no source',
}
const ORDER: readonly Seen[] = ['read', 'computed', 'mixed', 'memory', 'practice', 'assumed']

export function sourcesSheet(title: string, sources: readonly Source[], cautions: Cautions): Paper {
  const groups = ORDER.map((seen) => ({
    words: SEEN_WORDS[seen],
    items: sources.filter((s) => s.seen === seen).map((s) => s.source),
  })).filter((g) => g.items.length > 0)
  const blocks: Block[] = [
    dangerBlock(cautions),
    { block: 'text', text: `${sources.length} sources: ${groups.map((g) => `${g.words.toLowerCase()} ${g.items.length}`).join('; ')}.` },
    ...groups.flatMap((g): readonly Block[] => [
      { block: 'heading', level: 2, text: `${g.words} (${g.items.length})` },
      { block: 'list', ordered: false, items: g.items, own: true },
    ]),
  ]
  return { kind: 'sources', title: `Sources: ${title}`, blocks }
}
