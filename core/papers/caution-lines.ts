import { cautionLine, type Cautions } from '../cautions/index.ts'
import type { Block } from './paper.ts'

/** The danger block that heads every paper: refusals and the worst first (the order of `Cautions.list`), then the standing lines. */
export function cautionBlock(cautions: Cautions): Block {
  return { block: 'danger', lines: [...cautions.list.map(cautionLine), ...cautions.standing] }
}
