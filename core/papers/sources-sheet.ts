/** Where every number of a day comes from, by how it was seen. */
import type { Seen, Source } from '@beakertide/basis/sources'
import type { Cautions } from '../cautions/index.ts'
import { cautionBlock } from './caution-lines.ts'
import type { Block, Paper } from './paper.ts'

const SEEN_WORDS: Readonly<Record<Seen, string>> = {
  read: 'Read in a copy of the source',
  computed: 'Computed from values that were read',
  mixed: 'Partly read, partly from memory',
  memory: 'From memory, to be confirmed',
  assumed: 'Assumed here, no source',
  practice: 'Common practice, no source',
}
const ORDER: readonly Seen[] = ['read', 'computed', 'mixed', 'memory', 'practice', 'assumed']

export function sourcesSheet(title: string, sources: readonly Source[], cautions: Cautions): Paper {
  const blocks: Block[] = [cautionBlock(cautions)]
  for (const seen of ORDER) {
    const items = sources.filter((s) => s.seen === seen).map((s) => s.source)
    if (items.length === 0) continue
    blocks.push({ block: 'heading', level: 2, text: `${SEEN_WORDS[seen]} (${items.length})` })
    blocks.push({ block: 'list', ordered: false, items })
  }
  return { kind: 'sources', title: `Sources: ${title}`, blocks }
}
