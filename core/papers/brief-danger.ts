/** The danger block of papers that must stay one page. */
import type { Cautions } from '../cautions/index.ts'
import { dangerLines, GRAVE_FROM } from './caution-lines.ts'
import type { Block } from './paper.ts'

/**
 * The head of a paper that must stay one page: refusals and what is grave here, in full; the rest by its number, with the name of the sheet on
 * which it stands. On the stage no bottle is opened: what holds for bottles alone is counted there, not printed.
 */
export function briefDanger(cautions: Cautions, where: 'bench' | 'stage' = 'bench'): Extract<Block, { block: 'danger' }> {
  const all = dangerLines(cautions.list)
  const isMet = (about: string): boolean => where === 'bench' || !/^(bottle |the bottles )/.test(about)
  const lines = all.filter((l) => l.refused || l.controlled === true || (l.severity >= GRAVE_FROM && !l.onlyIf && isMet(l.about)))
  const left = all.length - lines.length
  const rest = left === 0 ? 'The standing rules' : `${left} more ${left === 1 ? 'caution' : 'cautions'} and the standing rules`
  return { block: 'danger', lines, standing: [`${rest} are on the cautions sheet: it lies beside this page.`] }
}
