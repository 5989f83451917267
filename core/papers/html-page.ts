/** Papers as one self-contained HTML page: no script, nothing loaded from anywhere, prints in black and white. */
import { dangerSections, GRADE_WORDS } from './caution-lines.ts'
import { CONTENT_STYLE, FILE_STYLE, PAGE_RULES, PRINT_STYLE } from './html-style.ts'
import { htmlText } from './html-text.ts'
import { drawLabels, type LabelChoices, labelStyle, usualLabels } from './label-html.ts'
import { drawLabelWords } from './label-words.ts'
import type { PaperSize } from './label-layout.ts'
import { escapeMarkup } from './markup.ts'
import { clockWords } from './cue-sheet-times.ts'
import { type Block, type Cue, type CueLetters, type DangerLine, itemText, type ListItem, type Paper } from './paper.ts'
import { drawStrip } from './svg-strip.ts'
import { drawTraces } from './svg-traces.ts'
import { inEnglish, type Tell, type Telling } from './telling.ts'

/** Drawings come in two widths, one for a sheet and one for a telephone; the page's style shows the one that fits. */
const WIDTHS_PX = { wide: 880, narrow: 380 } as const
const STRIP_HEIGHT_PX = 72
/** Tables of so many columns are set small, so that the last one stands on the sheet too. */
const DENSE_FROM = 8
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

const dangerItem = (l: DangerLine, tell: Tell): string =>
  `<li>${l.refused ? `<b>${htmlText(tell('Refused.'))}</b> ` : ''}<b>${htmlText(l.onlyIf ? tell(GRADE_WORDS[l.severity].toLowerCase()) : l.about)}:</b> ${htmlText(`${l.what} ${l.instead}`)}</li>`

function drawDanger(b: Extract<Block, { block: 'danger' }>, tell: Tell): string {
  const heading = (title: string): string => `<p class="grade">${htmlText(tell(title))}</p>`
  const run = (title: string, parts: readonly string[]): string =>
    parts.length === 0 ? '' : `${heading(title)}<div class="run many">${parts.map((p) => `<p>${p}</p>`).join('')}</div>`
  return [
    `<aside class="danger" role="note"><p class="mark">${htmlText(tell('Danger first'))}</p>`,
    ...dangerSections(b.lines).map((s) =>
      s.isGrave
        ? `${heading(s.title)}<ul${s.lines.length > 1 ? ' class="many"' : ''}>${s.lines.map((l) => dangerItem(l, tell)).join('')}</ul>`
        : run(
            s.title,
            s.lines.map((l) => `<b>${htmlText(l.about)}:</b> ${htmlText(`${l.what} ${l.instead}`)}`),
          ),
    ),
    run('Always', b.standing.map(htmlText)),
    '</aside>',
  ].join('')
}

/** The word for danger at the head of an item is set heavy. */
function drawItem(i: ListItem, tell: Tell): string {
  const word = tell('DANGER.')
  const text = htmlText(itemText(i, word))
  const heavy = `<strong>${htmlText(word.charAt(0) + word.slice(1).toLowerCase())}</strong>`
  const under = typeof i === 'string' ? [] : i.under
  return `<li>${text.startsWith(htmlText(word)) ? heavy + text.slice(htmlText(word).length) : text}${under.map((u) => `<p class="under">${htmlText(u)}</p>`).join('')}</li>`
}

/** The same drawing in both widths. */
function bothWidths(draw: (widthPx: number) => string): string {
  return Object.entries(WIDTHS_PX)
    .map(([name, px]) => `<div class="${name}">${draw(px)}</div>`)
    .join('')
}

const CUE_NAMES: Readonly<Record<Cue['kind'], string>> = { pour: 'pour', turn: 'seen', end: 'end' }

function drawCue(c: Cue, tell: Tell): string {
  const between = c.between === '' ? '' : `<span class="between">${htmlText(c.between)}</span>`
  return `<tr class="${c.kind}"><td class="at">${clockWords(c.atS)}</td><td class="kind">${htmlText(tell(CUE_NAMES[c.kind]))}</td><td class="what">${htmlText(c.what)}${between}</td><td class="say">${c.say === '' ? '' : `<span class="said">${htmlText(c.say)}</span>`}<span class="own"></span></td></tr>`
}

function drawCues(cues: readonly Cue[], letters: CueLetters, tell: Tell): string {
  const head = ['clock', '', 'what happens', 'what to say'].map((t) => `<th scope="col">${htmlText(tell(t))}</th>`).join('')
  return `<table class="cues ${letters}"><thead><tr>${head}</tr></thead><tbody>${cues.map((c) => drawCue(c, tell)).join('')}</tbody></table>`
}

const drawFields = (fields: readonly string[]): string =>
  `<div class="fields">${fields.map((f) => `<p><span>${htmlText(f)}</span></p>`).join('')}</div>`

function drawChecked(b: Extract<Block, { block: 'checked' }>, tell: Tell): string {
  const groups = b.groups.map(
    (g) =>
      `<table class="checked"><caption>${htmlText(g.title)}</caption><tbody>${g.lines
        .map((l) => `<tr><td>${escapeMarkup(l.text)}</td><td class="code">${escapeMarkup(l.code)}</td></tr>`)
        .join('')}</tbody></table>`,
  )
  const lines = b.groups.flatMap((g) => g.lines.map((l) => l.code)).join('')
  return `<div class="checks">${groups.join('')}</div><p class="codes">${htmlText(tell('Check line'))} <b>${escapeMarkup(b.page)} ${escapeMarkup(lines)}</b></p>`
}

function drawBlock(b: Block, tell: Tell): string {
  switch (b.block) {
    case 'heading':
      return `<h${b.level}>${htmlText(b.text)}</h${b.level}>`
    case 'danger':
      return drawDanger(b, tell)
    case 'text':
      return `<p>${htmlText(b.text)}</p>`
    case 'list': {
      const tag = b.ordered ? 'ol' : 'ul'
      return b.items.length === 0 ? '' : `<${tag}>${b.items.map((i) => drawItem(i, tell)).join('')}</${tag}>`
    }
    case 'table': {
      const side = (i: number): string => (b.columns[i]?.align === 'right' ? ' class="right"' : '')
      const head = b.columns.map((c, i) => `<th scope="col"${side(i)}>${htmlText(c.title)}</th>`).join('')
      const rows = b.rows.map((r) => `<tr>${r.map((cell, i) => `<td${side(i)}>${htmlText(cell)}</td>`).join('')}</tr>`).join('')
      return `<div class="scroll"><table${b.columns.length >= DENSE_FROM ? ' class="dense"' : ''}>${b.caption ? `<caption>${htmlText(b.caption)}</caption>` : ''}<thead><tr>${head}</tr></thead><tbody>${rows}</tbody></table></div>`
    }
    case 'strip':
      return `<figure><figcaption>${htmlText(b.caption)}</figcaption>${bothWidths((widthPx) => drawStrip({ ...b, widthPx, heightPx: STRIP_HEIGHT_PX, label: b.caption, tell }))}</figure>`
    case 'cues':
      return drawCues(b.cues, b.letters, tell)
    case 'fields':
      return drawFields(b.fields)
    case 'checked':
      return drawChecked(b, tell)
    case 'labels':
      // Drawn on pages of their own, after everything else of the paper.
      return drawLabelWords(b.labels)
    case 'traces':
      return `<figure><figcaption>${htmlText(b.caption)}</figcaption>${bothWidths((widthPx) => drawTraces({ ...b, widthPx, bandPx: BAND_PX, label: b.caption, tell }))}</figure>`
  }
}

/** What a person chooses at the printer. */
export interface PrintChoices {
  /** Null: as the printer has it. */
  readonly paper: PaperSize | null
  readonly labels: LabelChoices
  /** Language of what the page itself says; the papers are told before (translatePaper). Default: English. */
  readonly telling?: Telling
}
export const usualPrint: PrintChoices = { paper: null, labels: usualLabels }

/** The papers as markup, each in a section with its danger block and its imprint; text of documents is made harmless. No style, no script. */
export function paperMarkup(papers: readonly Paper[], imprint?: Imprint, choices: PrintChoices = usualPrint): string {
  const { tell } = choices.telling ?? inEnglish
  const foot = imprint
    ? `<footer>${escapeMarkup(imprint.from)} · ${escapeMarkup(imprint.by)} · ${escapeMarkup(tell('written'))} ${escapeMarkup(imprint.at)}</footer>`
    : ''
  return papers
    .map((p, i) => {
      const labels = p.blocks.flatMap((b) => (b.block === 'labels' ? [drawLabels(b.labels, choices.labels, tell)] : []))
      const flow = `<h1>${htmlText(p.title)}</h1>${p.blocks.map((b) => drawBlock(b, tell)).join('\n')}${foot}`
      return `<section class="paper ${escapeMarkup(p.kind)}" id="paper-${i + 1}"><div class="flow">${flow}</div>${labels.join('')}</section>`
    })
    .join('\n')
}

/** The style of papers as they print, for a place of its own on a page (a shadow tree): everything in it applies at once. */
export function printedStyle(choices: PrintChoices = usualPrint): string {
  return `:host{--u:10pt}${CONTENT_STYLE}${labelStyle(choices.labels.sheet)}${PRINT_STYLE}`
}

/** Rules for the sheet of paper itself; they hold only in a style sheet of the whole document. */
export function sheetRules(choices: PrintChoices = usualPrint): string {
  const size = choices.paper === null ? '' : `@page{size:${choices.paper}}`
  return `${PAGE_RULES}${size}@page labels{size:${choices.labels.sheet.paper};margin:0}`
}

/** One HTML page holding the papers in order, each starting on its own sheet when printed; every sheet has its danger block and its imprint. */
export function htmlPage(title: string, papers: readonly Paper[], imprint?: Imprint, choices: PrintChoices = usualPrint): string {
  const { language, tell } = choices.telling ?? inEnglish
  const list =
    papers.length > 1
      ? `<nav aria-label="${escapeMarkup(tell('Papers on this page'))}">${papers.map((p, i) => `<a href="#paper-${i + 1}">${htmlText(p.title.split(':')[0]!)}</a>`).join('')}</nav>`
      : ''
  const style = `${FILE_STYLE}${CONTENT_STYLE}${labelStyle(choices.labels.sheet)}@media print{:root{--u:10pt}${PRINT_STYLE}}${sheetRules(choices)}`
  return `<!doctype html>
<html lang="${escapeMarkup(language)}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${escapeMarkup(title)}</title><style>${style}</style></head>
<body>
${list}${paperMarkup(papers, imprint, choices)}
</body></html>
`
}
