/** The place of a pictogram on a label: a square on its corner with the number of the pictogram. */
import { escapeMarkup } from './markup.ts'

export function pictogramSvg(code: string): string {
  return `<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 100 100" aria-label="${escapeMarkup(code)}"><path d="M50 3 97 50 50 97 3 50Z" fill="#fff" stroke="#c00" stroke-width="6"/><text x="50" y="55" text-anchor="middle" font-size="15" font-weight="700">${escapeMarkup(code)}</text></svg>`
}
