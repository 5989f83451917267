/** Papers as terminal text. The full cautions stand once, at the head of an answer; every further paper repeats the worst in a line each. */
import {
  type Block,
  clockWords,
  type DangerLine,
  dangerSections,
  GRADE_WORDS,
  GRAVE_FROM,
  itemText,
  type ListItem,
  type Paper,
  visibleText,
} from '@beakertide/core/papers'
import { drawStripText } from './draw-strip.ts'
import type { TerminalLook } from './look.ts'
import { oneLine, pad, textWidth, wrap } from './text-layout.ts'

const BOLD = '\u001b[1m'
const RESET = '\u001b[0m'
/** A table cell never grows wider than this share of the line, so that one long note does not push numbers off the screen. */
const WIDEST_CELL = 0.5
/** Words longer than this may be cut to save the line. */
const LONGEST_UNBROKEN = 26
/** Cautions repeated over a further paper, at most. */
const REPEATED = 5

const strong = (text: string, look: TerminalLook): string => (look.colour ? `${BOLD}${text}${RESET}` : text)

function drawTable(b: Extract<Block, { block: 'table' }>, look: TerminalLook): readonly string[] {
  const most = Math.max(12, Math.floor(look.columns * WIDEST_CELL))
  const longestWord = (text: string): number => Math.max(0, ...text.split(' ').map(textWidth))
  const cells = b.columns.map((_, i) => b.rows.map((r) => r[i] ?? ''))
  const content = cells.map((list, i) => Math.min(most, Math.max(longestWord(b.columns[i]!.title), ...list.map(textWidth))))
  const unbroken = cells.map((list) => Math.min(LONGEST_UNBROKEN, Math.max(6, ...list.map(longestWord))))
  const widths = b.columns.map((c, i) => Math.min(most, Math.max(textWidth(c.title), content[i]!)))
  const tooWide = (): boolean => widths.reduce((a, w) => a + w, 2 * (b.columns.length - 1)) > look.columns
  // Headings wrap first, then the widest column whose words still fit, last the words themselves.
  const narrow = (mayShrink: (i: number) => boolean): void => {
    while (tooWide()) {
      const able = widths.map((_, i) => i).filter(mayShrink)
      if (able.length === 0) return
      widths[able.reduce((a, i) => (widths[i]! > widths[a]! ? i : a))]! -= 1
    }
  }
  narrow((i) => widths[i]! > content[i]!)
  narrow((i) => widths[i]! > unbroken[i]!)
  narrow((i) => widths[i]! > 6)
  const drawRow = (row: readonly string[], upright: 'top' | 'bottom'): readonly string[] => {
    const wrapped = row.map((c, i) => wrap(c, widths[i]!))
    const height = Math.max(...wrapped.map((w) => w.length))
    const at = (w: readonly string[], k: number): string => w[upright === 'top' ? k : k - (height - w.length)] ?? ''
    return Array.from({ length: height }, (_, k) =>
      wrapped
        .map((w, i) => pad(at(w, k), widths[i]!, b.columns[i]!.align))
        .join('  ')
        .trimEnd(),
    )
  }
  return [
    ...(b.caption ? wrap(b.caption, look.columns) : []),
    ...drawRow(
      b.columns.map((c) => c.title),
      'bottom',
    ),
    widths.map((w) => '─'.repeat(w)).join('  '),
    ...b.rows.flatMap((r) =>
      drawRow(
        b.columns.map((_, i) => r[i] ?? ''),
        'top',
      ),
    ),
  ]
}

/** A trace as its name with its ends in numbers, and one line of eighths, low to high; each cell shows its farthest value from the middle. */
function drawTraceText(
  t: { readonly name: string; readonly unit: string; readonly values: readonly number[] },
  look: TerminalLook,
): readonly string[] {
  const bars = '▁▂▃▄▅▆▇█'
  const finite = t.values.filter((v) => Number.isFinite(v))
  if (finite.length === 0) return [`${t.name}: no values`]
  const low = finite.reduce((a, b) => Math.min(a, b))
  const high = finite.reduce((a, b) => Math.max(a, b))
  const digits = (v: number): string => String(Number(v.toPrecision(3)))
  const middle = finite.reduce((a, b) => a + b, 0) / finite.length
  const cells = look.columns - 2
  let line = '  '
  for (let i = 0; i < cells; i++) {
    const part = t.values.slice(
      Math.floor((i * t.values.length) / cells),
      Math.max(Math.floor((i * t.values.length) / cells) + 1, Math.floor(((i + 1) * t.values.length) / cells)),
    )
    const v = part.filter((x) => Number.isFinite(x)).reduce((a, x) => (Math.abs(x - middle) > Math.abs(a - middle) ? x : a), middle)
    line += high > low ? bars[Math.min(7, Math.floor((8 * (v - low)) / (high - low)))] : bars[0]
  }
  return [...wrap(`${t.name}: ${digits(low)} to ${digits(high)} ${t.unit}`.trimEnd(), look.columns), line]
}

const keyOf = (l: DangerLine): string => `${l.severity} ${l.about} ${l.what}`

function full(l: DangerLine, look: TerminalLook): readonly string[] {
  const about = l.onlyIf ? GRADE_WORDS[l.severity].toLowerCase() : l.about
  return wrap(`  - ${l.refused ? 'REFUSED. ' : ''}${about}: ${l.what} ${l.instead}`, look.columns, '    ')
}

/** Cautions in full under their grade; those already told in this answer in one line each, the worst only. */
function drawDanger(b: Extract<Block, { block: 'danger' }>, look: TerminalLook, told: Set<string>): readonly string[] {
  const isNew = b.lines.filter((l) => !told.has(keyOf(l)))
  const again = b.lines.filter((l) => told.has(keyOf(l)))
  const standing = b.standing.filter((s) => !told.has(s))
  for (const l of b.lines) told.add(keyOf(l))
  for (const s of b.standing) told.add(s)
  const grave = (l: DangerLine): boolean => l.refused || l.severity >= GRAVE_FROM
  const sections = dangerSections(isNew)
  const lines = ['', strong('!! DANGER FIRST', look)]
  for (const s of sections) lines.push(strong(s.title, look), ...s.lines.flatMap((l) => full(l, look)))
  if (standing.length > 0) {
    if (sections.length > 0) lines.push(strong('Always', look))
    lines.push(...standing.flatMap((l) => wrap(`  - ${l}`, look.columns, '    ')))
  }
  if (again.length > 0 || standing.length < b.standing.length) {
    const worst = again
      .filter((l) => grave(l) && !l.onlyIf)
      .sort((x, y) => Number(y.refused) - Number(x.refused) || y.severity - x.severity)
    lines.push(...worst.slice(0, REPEATED).map((l) => oneLine(`  - ${l.refused ? 'REFUSED. ' : ''}${l.about}: ${l.what}`, look.columns)))
    lines.push('  All cautions stand in full at the head of this answer.')
  }
  return lines
}

function drawItem(item: ListItem, mark: string, look: TerminalLook): readonly string[] {
  const indent = ' '.repeat(mark.length)
  const under = typeof item === 'string' ? [] : item.under
  return [...wrap(mark + itemText(item), look.columns, indent), ...under.flatMap((u) => wrap(`${indent}${u}`, look.columns, `${indent}  `))]
}

function drawBlock(b: Block, look: TerminalLook, told: Set<string>): readonly string[] {
  switch (b.block) {
    case 'heading':
      return ['', strong(b.text, look), ...(b.level < 3 ? ['─'.repeat(Math.min(look.columns, textWidth(b.text)))] : [])]
    case 'danger':
      return drawDanger(b, look, told)
    case 'text':
      return ['', ...wrap(b.text, look.columns)]
    case 'list':
      return ['', ...b.items.flatMap((item, i) => drawItem(item, b.ordered ? `${String(i + 1).padStart(2)}. ` : '- ', look))]
    case 'table':
      return ['', ...drawTable(b, look)]
    case 'strip':
      return ['', ...drawStripText(b, look)]
    case 'labels':
      return b.labels.flatMap((l) => {
        const statements = [...l.hazards, ...l.precautions].map((s) => `${s.code} ${s.text}`.trim())
        const lines = [...l.contents, [l.signalWord, ...l.pictograms].filter((x) => x !== '').join(' '), ...statements, l.doubt]
        return [
          '',
          strong(`${l.name}, ${l.volume}`, look),
          ...lines.filter((x) => x !== '').flatMap((x) => wrap(`  ${x}`, look.columns, '  ')),
        ]
      })
    case 'cues':
      return [
        '',
        ...b.cues.flatMap((c) => [
          ...wrap(`${clockWords(c.atS).padStart(7)}  ${c.what}${c.between === '' ? '' : ` (${c.between})`}`, look.columns, ' '.repeat(9)),
          ...(c.say === '' ? [] : wrap(`${' '.repeat(9)}say: ${c.say}`, look.columns, ' '.repeat(14))),
        ]),
      ]
    case 'fields':
      return ['', ...b.fields.map((f) => `${f} ${'_'.repeat(Math.max(8, Math.min(40, look.columns - textWidth(f) - 1)))}`)]
    case 'checked':
      return [
        ...b.groups.flatMap((g) => [
          '',
          strong(g.title, look),
          ...g.lines.flatMap((l) => wrap(`${l.code}  ${l.text}`, look.columns, '    ')),
        ]),
        '',
        `${b.page}  check line of the page`,
      ]
    case 'traces':
      return ['', ...wrap(b.caption, look.columns), ...b.traces.flatMap((t) => drawTraceText(t, look))]
  }
}

/** The block with every text made harmless for a terminal: what a document says must not steer it. */
function harmless<T>(value: T): T {
  if (typeof value === 'string') return visibleText(value) as T
  if (Array.isArray(value)) return (value.every((x) => typeof x === 'number') ? value : value.map(harmless)) as T
  if (typeof value === 'object' && value !== null) return Object.fromEntries(Object.entries(value).map(([k, v]) => [k, harmless(v)])) as T
  return value
}

/** Papers as lines of text, ending with a line break; what one paper has told is not told again in full by the next. */
export function drawPapers(papers: readonly Paper[], look: TerminalLook): string {
  const told = new Set<string>()
  return papers
    .map(harmless)
    .map((paper) => {
      const title = [strong(paper.title, look), '═'.repeat(Math.min(look.columns, textWidth(paper.title)))]
      return `${[...title, ...paper.blocks.flatMap((b) => drawBlock(b, look, told))].join('\n')}\n`
    })
    .join('\n')
}
