/** Papers as one self-contained HTML page: no script, nothing loaded from anywhere, prints in black and white. */
import { escapeMarkup } from './markup.ts'
import type { Block, Paper } from './paper.ts'
import { drawStrip } from './svg-strip.ts'
import { drawTraces } from './svg-traces.ts'

const STYLE = `
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0 auto;padding:1.5rem 1rem 4rem;max-width:60rem;background:#faf8f3;color:#1d1d1b;
 font:16px/1.45 "Source Sans 3","Source Sans Pro",system-ui,"Segoe UI",sans-serif;font-variant-numeric:tabular-nums lining-nums}
h1{font-size:1.7rem;line-height:1.2;margin:0 0 .6rem}h2{font-size:1.25rem;margin:2rem 0 .5rem;border-bottom:1px solid #1d1d1b}h3{font-size:1.05rem;margin:1.3rem 0 .3rem}
.danger{border:3px solid #1d1d1b;border-left-width:12px;padding:.5rem 1rem;margin:0 0 1.2rem;background:#fff}
.danger strong{display:block;letter-spacing:.06em;text-transform:uppercase;font-size:.85rem}
.danger ul{margin:.3rem 0;padding-left:1.1rem}
table{border-collapse:collapse;width:100%;margin:.4rem 0 1rem;font-size:.95rem}
.wide{overflow-x:auto}
caption{text-align:left;font-style:italic;padding:.2rem 0}
th,td{padding:.22rem .6rem .22rem 0;vertical-align:top;text-align:left;border-bottom:1px solid #d8d3c6}th{font-weight:600;border-bottom-color:#1d1d1b}
.right{text-align:right}
figure{margin:.6rem 0 1.2rem}figcaption{font-size:.9rem;color:#444}
section.paper+section.paper{margin-top:3.5rem}
@media print{body{background:#fff;padding:0;max-width:none;font-size:11pt}section.paper{break-before:page}section.paper:first-of-type{break-before:auto}
 tr,figure,.danger{break-inside:avoid}h2,h3{break-after:avoid}rect,.danger{-webkit-print-color-adjust:exact;print-color-adjust:exact}}
`

const STRIP_WIDTH_PX = 900
const STRIP_HEIGHT_PX = 64
const BAND_PX = 110

function drawBlock(b: Block): string {
  switch (b.block) {
    case 'heading':
      return `<h${b.level}>${escapeMarkup(b.text)}</h${b.level}>`
    case 'danger':
      return `<div class="danger" role="note"><strong>Danger first</strong><ul>${b.lines.map((l) => `<li>${escapeMarkup(l)}</li>`).join('')}</ul></div>`
    case 'text':
      return `<p>${escapeMarkup(b.text)}</p>`
    case 'list': {
      const tag = b.ordered ? 'ol' : 'ul'
      return `<${tag}>${b.items.map((i) => `<li>${escapeMarkup(i)}</li>`).join('')}</${tag}>`
    }
    case 'table': {
      const side = (i: number): string => (b.columns[i]?.align === 'right' ? ' class="right"' : '')
      const head = b.columns.map((c, i) => `<th scope="col"${side(i)}>${escapeMarkup(c.title)}</th>`).join('')
      const rows = b.rows.map((r) => `<tr>${r.map((cell, i) => `<td${side(i)}>${escapeMarkup(cell)}</td>`).join('')}</tr>`).join('')
      return `<div class="wide"><table>${b.caption ? `<caption>${escapeMarkup(b.caption)}</caption>` : ''}<thead><tr>${head}</tr></thead><tbody>${rows}</tbody></table></div>`
    }
    case 'strip':
      return `<figure>${drawStrip({ samples: b.samples, turns: b.turns, widthPx: STRIP_WIDTH_PX, heightPx: STRIP_HEIGHT_PX, label: b.caption })}<figcaption>${escapeMarkup(b.caption)}</figcaption></figure>`
    case 'traces':
      return `<figure>${drawTraces({ traces: b.traces, widthPx: STRIP_WIDTH_PX, bandPx: BAND_PX, label: b.caption })}<figcaption>${escapeMarkup(b.caption)}</figcaption></figure>`
  }
}

/** One HTML page holding the papers in order, each starting on its own sheet when printed. */
export function htmlPage(title: string, papers: readonly Paper[]): string {
  const body = papers
    .map((p) => `<section class="paper"><h1>${escapeMarkup(p.title)}</h1>${p.blocks.map(drawBlock).join('\n')}</section>`)
    .join('\n')
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<title>${escapeMarkup(title)}</title><style>${STYLE}</style></head>
<body>
${body}
</body></html>
`
}
