/** Labels as HTML: full pages laid out in millimetres, so that they meet the label sheet in the printer. */
import { htmlText } from './html-text.ts'
import {
  fitLabel,
  LABEL_LETTERS_PT,
  LABEL_PADDING_MM,
  LABEL_SHEETS,
  type LabelSheet,
  labelLines,
  PAPER_MM,
  pictogramSideMm,
} from './label-layout.ts'
import type { LabelToPrint } from './paper.ts'
import { inEnglish, type Tell } from './telling.ts'
import { pictogramSvg } from './pictograms.ts'

export interface LabelChoices {
  readonly sheet: LabelSheet
  /** Positions at the head of the first sheet that are used up. */
  readonly skip: number
  /** Labels of each solution. */
  readonly copies: number
}

/** One of each on the roomiest sheet. */
export const usualLabels: LabelChoices = { sheet: LABEL_SHEETS[0]!, skip: 0, copies: 1 }

function drawLabel(l: LabelToPrint, sheet: LabelSheet, tell: Tell): string {
  const { detail, lettersPt, pictureColumns, fits } = fitLabel(l, sheet)
  const text = labelLines(l, detail)
  const side = pictogramSideMm(l, sheet)
  const pictures = l.pictograms.map((code) => `<span class="picture s${side}">${pictogramSvg(code)}</span>`).join('')
  const nothing = l.hazards.length === 0 && l.doubt === ''
  return [
    `<div class="label t${lettersPt}${fits ? '' : ' tight'}">`,
    `<p class="name"><b>${htmlText(l.name)}</b> <span>${htmlText(l.volume)}</span></p>`,
    `<p class="contents">${l.contents.map(htmlText).join('<br>')}</p>`,
    '<div class="hazard">',
    pictures === '' ? '' : `<div class="pictures c${pictureColumns}">${pictures}</div>`,
    '<div>',
    l.signalWord === '' ? '' : `<p class="signal">${htmlText(l.signalWord)}</p>`,
    text.hazards === '' ? '' : `<p>${htmlText(text.hazards)}</p>`,
    text.precautions === '' ? '' : `<p>${htmlText(text.precautions)}</p>`,
    nothing ? `<p>${htmlText(tell('As made it reaches no class of the hazard tables. No food, no drink, not for children.'))}</p>` : '',
    l.doubt === '' ? '' : `<p><b>${htmlText(l.doubt)}</b></p>`,
    '</div></div>',
    `<p class="write">${['made on', 'by', 'batch'].map((w) => `<span>${htmlText(tell(w))}</span>`).join('')}</p>`,
    '</div>',
  ].join('')
}

/** Pages of labels, each solution `copies` times, after the used positions. */
export function drawLabels(labels: readonly LabelToPrint[], choices: LabelChoices, tell: Tell = inEnglish.tell): string {
  const { sheet } = choices
  const onPage = sheet.columns * sheet.rows
  const skip = Math.min(Math.max(0, Math.trunc(choices.skip)), onPage - 1)
  const copies = Math.max(1, Math.trunc(choices.copies))
  const all: string[] = [
    ...Array.from({ length: skip }, () => '<div class="used"></div>'),
    ...labels.flatMap((l) => Array.from({ length: copies }, () => drawLabel(l, sheet, tell))),
  ]
  const pages: string[] = []
  for (let from = 0; from < all.length; from += onPage) {
    pages.push(`<div class="label-page"><div class="label-grid">${all.slice(from, from + onPage).join('')}</div></div>`)
  }
  return pages.join('')
}

/** Names of labels whose text is too long for the sheet even in numbers. */
export function tooLongFor(labels: readonly LabelToPrint[], sheet: LabelSheet): readonly string[] {
  return labels.filter((l) => !fitLabel(l, sheet).fits).map((l) => l.name)
}

/** The rules of label pages for one kind of sheet. */
export function labelStyle(sheet: LabelSheet): string {
  const page = PAPER_MM[sheet.paper]
  return `
.label-page{page:labels;break-before:page;break-after:page;width:${page.width}mm;height:${page.height - 0.2}mm;overflow:hidden;background:#fff;color:#000}
.label-page:last-child{break-after:auto}
.label-grid{display:grid;grid-template-columns:repeat(${sheet.columns},${sheet.widthMm}mm);grid-auto-rows:${sheet.heightMm}mm;column-gap:${sheet.gapXMm}mm;row-gap:${sheet.gapYMm}mm;padding:${sheet.topMm}mm 0 0 ${sheet.leftMm}mm}
.label{display:flex;flex-direction:column;gap:.4mm;overflow:hidden;padding:${LABEL_PADDING_MM}mm;line-height:1.14;${sheet.cut ? 'outline:.2mm dashed #777;' : ''}}
${LABEL_LETTERS_PT.map((pt) => `.t${pt}{font-size:${pt}pt}`).join('')}
.label p{margin:0;max-width:none}
.label .name{font-size:11pt;line-height:1.1;display:flex;justify-content:space-between;gap:2mm;border-bottom:.3mm solid #000;padding-bottom:.5mm}
.label .name b{overflow-wrap:anywhere}.label .name span{white-space:nowrap;font-size:8pt;align-self:end}
.label .hazard{display:flex;gap:2mm;flex:1;min-height:0}
.label .hazard>div:last-child{flex:1}
.label .pictures{display:grid;align-content:start;justify-items:center}
.label .pictures.c2{grid-template-columns:auto auto}.label .pictures.c3{grid-template-columns:auto auto auto}.label .pictures.c4{grid-template-columns:repeat(4,auto)}
.label .picture{display:block}.label .picture svg{display:block;width:100%;height:100%}
.s10{width:14.1mm;height:14.1mm}.s16{width:22.6mm;height:22.6mm}.s23{width:32.5mm;height:32.5mm}
.label .signal{font-weight:700;font-size:1.3em;line-height:1.05;text-transform:uppercase;letter-spacing:.02em}
.label .write{display:grid;grid-template-columns:3fr 3fr 2fr;gap:2mm;margin-top:auto}
.label .write{font-size:7pt}.label.tight .write{display:none}.label .write span{border-bottom:.2mm solid #000;padding-top:2.2mm;white-space:nowrap}`
}
