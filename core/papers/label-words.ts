/** What labels say, in words: small labels carry numbers alone, and somebody must be able to read them up. */
import { htmlText } from './html-text.ts'
import { labelLines } from './label-layout.ts'
import type { LabelToPrint } from './paper.ts'

function drawWords(l: LabelToPrint): string {
  const { hazards, precautions } = labelLines(l, 'full')
  const signal = [l.signalWord, ...l.pictograms].filter((x) => x !== '').join(' ')
  const lines = [l.contents.join('; '), signal, hazards, precautions, l.doubt].filter((x) => x !== '')
  return `<li><b>${htmlText(l.name)}</b>, ${htmlText(l.volume)}${lines.map((x) => `<p class="under">${htmlText(x)}</p>`).join('')}</li>`
}

/** A list of the labels with every statement written out. */
export function drawLabelWords(labels: readonly LabelToPrint[]): string {
  return `<ul>${labels.map(drawWords).join('')}</ul>`
}
