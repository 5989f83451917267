import type { Cautions } from '../cautions/index.ts'
import type { Block } from './paper.ts'

/** Words for the severity scale of cautions. */
const SEVERITY_WORDS: Readonly<Record<1 | 2 | 3 | 4, string>> = {
  4: 'CAN KILL OR MAIM',
  3: 'lasting harm',
  2: 'irritant, foam or spill',
  1: 'nuisance',
}

/** The danger block that heads every paper: standing lines, then every caution, worst first. */
export function cautionBlock(cautions: Cautions): Block {
  const worstFirst = [...cautions.list].sort((a, b) => b.severity - a.severity)
  return {
    block: 'danger',
    lines: [...cautions.standing, ...worstFirst.map((c) => `${c.about}: ${c.what} (${SEVERITY_WORDS[c.severity]}). ${c.instead}`)],
  }
}
