/** Papers as terminal text: tables in columns, the colour strip in true colour with words beside it, or words only. */
import { type Block, type Paper, timeWords } from '@beakertide/core/papers'

export interface TerminalLook {
  /** Characters a line holds. */
  readonly columns: number
  /** True-colour escapes may be written. */
  readonly colour: boolean
}

const BOLD = '\u001b[1m'
const RESET = '\u001b[0m'
/** A table cell never grows wider than this share of the line, so that one long note does not push numbers off the screen. */
const WIDEST_CELL = 0.5
const NARROWEST_LINE = 40
/** Rows of cells that a strip is high, so that it reads as a band and not as a line of text. */
const STRIP_ROWS = 2

/** Columns a text takes; combining marks take none. */
export function textWidth(text: string): number {
  let width = 0
  for (const { segment } of new Intl.Segmenter('en', { granularity: 'grapheme' }).segment(text))
    width += /\p{Extended_Pictographic}/u.test(segment) ? 2 : 1
  return width
}

const pad = (text: string, width: number, side: 'left' | 'right'): string => {
  const gap = ' '.repeat(Math.max(0, width - textWidth(text)))
  return side === 'left' ? text + gap : gap + text
}

/** Lines no longer than `width`, broken at spaces; continuation lines start with `indent`. Words longer than a line are cut. */
export function wrap(text: string, width: number, indent = ''): readonly string[] {
  const lines: string[] = []
  let line = ''
  for (let word of text.split(/\s+/).filter((w) => w !== '')) {
    const room = (): number => width - (lines.length > 0 ? indent.length : 0)
    if (line !== '' && textWidth(line) + 1 + textWidth(word) > room()) {
      lines.push((lines.length > 0 ? indent : '') + line)
      line = ''
    }
    while (textWidth(word) > room()) {
      const cut = room()
      lines.push((lines.length > 0 ? indent : '') + word.slice(0, cut))
      word = word.slice(cut)
    }
    line = line === '' ? word : `${line} ${word}`
  }
  if (line !== '' || lines.length === 0) lines.push((lines.length > 0 ? indent : '') + line)
  return lines
}

function drawTable(b: Extract<Block, { block: 'table' }>, look: TerminalLook): readonly string[] {
  const most = Math.max(12, Math.floor(look.columns * WIDEST_CELL))
  const natural = b.columns.map((c, i) => Math.min(most, Math.max(textWidth(c.title), ...b.rows.map((r) => textWidth(r[i] ?? '')))))
  // Narrow the widest column until the line fits; headings may wrap too.
  const gaps = 2 * (b.columns.length - 1)
  const widths = [...natural]
  while (widths.reduce((a, w) => a + w, gaps) > look.columns && Math.max(...widths) > 6) widths[widths.indexOf(Math.max(...widths))]! -= 1
  const drawRow = (cells: readonly string[]): readonly string[] => {
    const wrapped = cells.map((c, i) => wrap(c, widths[i]!))
    const height = Math.max(...wrapped.map((w) => w.length))
    return Array.from({ length: height }, (_, k) =>
      wrapped
        .map((w, i) => pad(w[k] ?? '', widths[i]!, b.columns[i]!.align))
        .join('  ')
        .trimEnd(),
    )
  }
  return [
    ...(b.caption ? wrap(b.caption, look.columns) : []),
    ...drawRow(b.columns.map((c) => c.title)),
    widths.map((w) => '-'.repeat(w)).join('  '),
    ...b.rows.flatMap((r) => drawRow(b.columns.map((_, i) => r[i] ?? ''))),
  ]
}

const rgb = (hex: string): readonly [number, number, number] => [
  Number.parseInt(hex.slice(1, 3), 16),
  Number.parseInt(hex.slice(3, 5), 16),
  Number.parseInt(hex.slice(5, 7), 16),
]

/** The strip as cells of real colour over a time scale; without colour, one line a stretch of one colour name. */
export function drawStripText(b: Extract<Block, { block: 'strip' }>, look: TerminalLook): readonly string[] {
  const first = b.samples[0]
  const last = b.samples.at(-1)
  if (!first || !last) return ['(nothing to draw)']
  const span = last.timeS - first.timeS
  const lines: string[] = [...wrap(b.caption, look.columns)]
  if (look.colour) {
    const cells = look.columns
    let k = 0
    let band = ''
    for (let i = 0; i < cells; i++) {
      const time = first.timeS + (span * (i + 0.5)) / cells
      while (k + 1 < b.samples.length && b.samples[k + 1]!.timeS <= time) k++
      const [r, g, bl] = rgb(b.samples[k]!.hex)
      band += `\u001b[48;2;${r};${g};${bl}m `
    }
    for (let i = 0; i < STRIP_ROWS; i++) lines.push(band + RESET)
    const left = timeWords(first.timeS)
    const right = timeWords(last.timeS)
    lines.push(left + ' '.repeat(Math.max(1, look.columns - left.length - right.length)) + right)
    return lines
  }
  const stretches: { name: string; fromS: number; toS: number }[] = []
  for (const s of b.samples) {
    const open = stretches.at(-1)
    if (open && open.name === s.name) open.toS = s.timeS
    else stretches.push({ name: s.name, fromS: s.timeS, toS: s.timeS })
  }
  const MOST = 16
  for (const s of stretches.slice(0, MOST)) lines.push(`${pad(timeWords(s.fromS), 14, 'right')}  ${s.name}`)
  if (stretches.length > MOST)
    lines.push(`${' '.repeat(14)}  … and ${stretches.length - MOST} more stretches, until ${timeWords(last.timeS)}`)
  return lines
}

/** A trace as one line of eighths, low to high, with its ends in numbers. */
function drawTraceText(
  t: { readonly name: string; readonly unit: string; readonly values: readonly number[] },
  look: TerminalLook,
): string {
  const bars = '▁▂▃▄▅▆▇█'
  const finite = t.values.filter((v) => Number.isFinite(v))
  if (finite.length === 0) return `${t.name}: no values`
  const low = finite.reduce((a, b) => Math.min(a, b))
  const high = finite.reduce((a, b) => Math.max(a, b))
  const label = `${t.name}${t.unit ? `, ${t.unit}` : ''} (${Number(low.toPrecision(3))} to ${Number(high.toPrecision(3))}) `
  const cells = Math.max(10, look.columns - label.length)
  let line = ''
  for (let i = 0; i < cells; i++) {
    const v = t.values[Math.min(t.values.length - 1, Math.floor(((i + 0.5) * t.values.length) / cells))]!
    line += high > low && Number.isFinite(v) ? bars[Math.min(7, Math.floor((8 * (v - low)) / (high - low)))] : bars[0]
  }
  return label + line
}

function drawBlock(b: Block, look: TerminalLook): readonly string[] {
  const strong = (text: string): string => (look.colour ? `${BOLD}${text}${RESET}` : text)
  switch (b.block) {
    case 'heading':
      return ['', strong(b.text), ...(b.level < 3 ? ['-'.repeat(Math.min(look.columns, textWidth(b.text)))] : [])]
    case 'danger':
      return ['', strong('!! DANGER FIRST'), ...b.lines.flatMap((l) => wrap(`!! ${l}`, look.columns, '   '))]
    case 'text':
      return ['', ...wrap(b.text, look.columns)]
    case 'list':
      return b.items.flatMap((item, i) => {
        const mark = b.ordered ? `${String(i + 1).padStart(2)}. ` : '- '
        return wrap(mark + item, look.columns, ' '.repeat(mark.length))
      })
    case 'table':
      return ['', ...drawTable(b, look)]
    case 'strip':
      return ['', ...drawStripText(b, look)]
    case 'traces':
      return ['', ...wrap(b.caption, look.columns), ...b.traces.map((t) => drawTraceText(t, look))]
  }
}

/** The paper as lines of text, ending with a line break. */
export function drawPaper(paper: Paper, look: TerminalLook): string {
  const safe: TerminalLook = { ...look, columns: Math.max(NARROWEST_LINE, look.columns) }
  const title = [paper.title, '='.repeat(Math.min(safe.columns, textWidth(paper.title)))]
  return `${[...title, ...paper.blocks.flatMap((b) => drawBlock(b, safe))].join('\n')}\n`
}
