/** Papers as one self-contained HTML page: no script, nothing loaded from anywhere, prints in black and white. */
import { GRADE_WORDS, GRAVE_FROM } from './caution-lines.ts'
import { PAGE_STYLE } from './html-style.ts'
import { escapeMarkup } from './markup.ts'
import type { Block, DangerLine, ListItem, Paper } from './paper.ts'
import { drawStrip } from './svg-strip.ts'
import { drawTraces } from './svg-traces.ts'

/** Drawings come in two widths, one for a sheet and one for a telephone; the page's style shows the one that fits. */
const WIDTHS_PX = { wide: 880, narrow: 380 } as const
const STRIP_HEIGHT_PX = 72
const BAND_PX = 104

/** What stands at the foot of every sheet, so that a copied sheet can be traced. */
export interface Imprint {
  /** The document the papers were made from. */
  readonly from: string
  /** Program and version. */
  readonly by: string
  /** Date and time of writing, as text. */
  readonly at: string
}

const LOWERED = '₀₁₂₃₄₅₆₇₈₉'
const RAISED = '⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻'
const RAISED_AS = '0123456789+−'

/** Escaped text with sub- and superscripts set as such, and numbers kept with their unit. */
export function htmlText(text: string): string {
  return escapeMarkup(text)
    .replace(/[₀-₉]+/g, (run) => `<sub>${Array.from(run, (c) => LOWERED.indexOf(c)).join('')}</sub>`)
    .replace(/[⁰¹²³⁴-⁹⁺⁻]+/g, (run) => `<sup>${Array.from(run, (c) => RAISED_AS[RAISED.indexOf(c)] ?? c).join('')}</sup>`)
    .replace(/(\d) (mL|L|g|mg|kg|mol|mmol|mol\/L|mmol\/L|s|min|h|K|°C|%|cm|nm|mV|ppm|m³)(?![\w])/g, '$1\u00a0$2')
}

const dangerItem = (l: DangerLine): string =>
  `<li>${l.refused ? '<b>Refused.</b> ' : ''}<b>${htmlText(l.onlyIf ? GRADE_WORDS[l.severity].toLowerCase() : l.about)}:</b> ${htmlText(`${l.what} ${l.instead}`)}</li>`

function drawDanger(b: Extract<Block, { block: 'danger' }>): string {
  const grave = b.lines.filter((l) => l.refused || l.severity >= GRAVE_FROM)
  const sections = [
    { title: GRADE_WORDS[4], lines: grave.filter((l) => !l.onlyIf && (l.severity === 4 || l.refused)) },
    { title: GRADE_WORDS[3], lines: grave.filter((l) => !l.onlyIf && l.severity === 3 && !l.refused) },
    { title: 'Only if surplus is cleared away with these reagents', lines: grave.filter((l) => l.onlyIf) },
  ].filter((s) => s.lines.length > 0)
  const rest = b.lines.filter((l) => !grave.includes(l))
  const heading = (title: string): string => `<p class="grade">${htmlText(title)}</p>`
  const run = (title: string, parts: readonly string[]): string =>
    parts.length === 0 ? '' : `${heading(title)}<p class="run many">${parts.join(' <span class="dot">·</span> ')}</p>`
  return [
    '<aside class="danger" role="note"><p class="mark">Danger first</p>',
    ...sections.map((s) => `${heading(s.title)}<ul${s.lines.length > 1 ? ' class="many"' : ''}>${s.lines.map(dangerItem).join('')}</ul>`),
    run(
      GRADE_WORDS[2],
      rest.map((l) => `<b>${htmlText(l.about)}:</b> ${htmlText(`${l.what} ${l.instead}`)}`),
    ),
    run('Always', b.standing.map(htmlText)),
    '</aside>',
  ].join('')
}

/** "DANGER. " at the head of an item is set heavy. */
const heavy = (html: string): string => html.replace(/^DANGER\. ?/, '<strong>Danger.</strong> ')

function drawItem(i: ListItem): string {
  if (typeof i === 'string') return `<li>${heavy(htmlText(i))}</li>`
  return `<li>${heavy(htmlText(i.text))}${i.under.map((u) => `<p class="under">${htmlText(u)}</p>`).join('')}</li>`
}

/** The same drawing in both widths. */
function bothWidths(draw: (widthPx: number) => string): string {
  return Object.entries(WIDTHS_PX)
    .map(([name, px]) => `<div class="${name}">${draw(px)}</div>`)
    .join('')
}

function drawBlock(b: Block): string {
  switch (b.block) {
    case 'heading':
      return `<h${b.level}>${htmlText(b.text)}</h${b.level}>`
    case 'danger':
      return drawDanger(b)
    case 'text':
      return `<p>${htmlText(b.text)}</p>`
    case 'list': {
      const tag = b.ordered ? 'ol' : 'ul'
      return b.items.length === 0 ? '' : `<${tag}>${b.items.map(drawItem).join('')}</${tag}>`
    }
    case 'table': {
      const side = (i: number): string => (b.columns[i]?.align === 'right' ? ' class="right"' : '')
      const head = b.columns.map((c, i) => `<th scope="col"${side(i)}>${htmlText(c.title)}</th>`).join('')
      const rows = b.rows.map((r) => `<tr>${r.map((cell, i) => `<td${side(i)}>${htmlText(cell)}</td>`).join('')}</tr>`).join('')
      return `<div class="scroll"><table>${b.caption ? `<caption>${htmlText(b.caption)}</caption>` : ''}<thead><tr>${head}</tr></thead><tbody>${rows}</tbody></table></div>`
    }
    case 'strip':
      return `<figure><figcaption>${htmlText(b.caption)}</figcaption>${bothWidths((widthPx) => drawStrip({ ...b, widthPx, heightPx: STRIP_HEIGHT_PX, label: b.caption }))}</figure>`
    case 'traces':
      return `<figure><figcaption>${htmlText(b.caption)}</figcaption>${bothWidths((widthPx) => drawTraces({ ...b, widthPx, bandPx: BAND_PX, label: b.caption }))}</figure>`
  }
}

/** One HTML page holding the papers in order, each starting on its own sheet when printed; every sheet has its danger block and its imprint. */
export function htmlPage(title: string, papers: readonly Paper[], imprint?: Imprint): string {
  const foot = imprint
    ? `<footer>${escapeMarkup(imprint.from)} · ${escapeMarkup(imprint.by)} · written ${escapeMarkup(imprint.at)}</footer>`
    : ''
  const body = papers
    .map(
      (p, i) =>
        `<section class="paper" id="paper-${i + 1}"><h1>${htmlText(p.title)}</h1>${p.blocks.map(drawBlock).join('\n')}${foot}</section>`,
    )
    .join('\n')
  const list =
    papers.length > 1
      ? `<nav aria-label="Papers on this page">${papers.map((p, i) => `<a href="#paper-${i + 1}">${htmlText(p.title.split(':')[0]!)}</a>`).join('')}</nav>`
      : ''
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${escapeMarkup(title)}</title><style>${PAGE_STYLE}</style></head>
<body>
${list}${body}
</body></html>
`
}
