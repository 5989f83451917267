/** The colour strip in a terminal: cells of two half blocks in true colour over a time scale and names; without colour, letters with their key. */
import { type StripPoint, type StripTurn, stretchesOf, stripColumns, timeStep, timeWords } from '@beakertide/core/papers'
import type { TerminalLook } from './look.ts'
import { pad, textWidth, wrap } from './text-layout.ts'

export interface StripToDraw {
  readonly caption: string
  readonly samples: readonly StripPoint[]
  readonly turns: readonly StripTurn[]
}

const RESET = '\u001b[0m'
/** Rows the band is high. */
const ROWS = 3
/** Columns one mark of the time scale wants. */
const MARK_COLUMNS = 13

const channels = (hex: string): readonly number[] => [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16) || 0)
const ink = (hex: string): string => `\u001b[38;2;${channels(hex).join(';')}m`
const ground = (hex: string): string => `\u001b[48;2;${channels(hex).join(';')}m`

/** Row of half-cells: each character shows two columns of time side by side. */
export function fullRow(halves: readonly string[]): string {
  let row = ''
  for (let i = 0; i + 1 < halves.length; i += 2) row += `${ink(halves[i]!)}${ground(halves[i + 1]!)}▌`
  return row + RESET
}

/** Time ticks and their words: two lines no longer than `width`. */
export function scaleLines(firstS: number, lastS: number, width: number): readonly string[] {
  const step = timeStep(lastS - firstS, Math.max(2, Math.floor(width / MARK_COLUMNS)))
  const ticks = Array.from({ length: width }, () => '─')
  let words = ''
  for (let t = Math.ceil(firstS / step - 1e-9) * step; t <= lastS + 1e-9; t += step) {
    const at = Math.min(width - 1, Math.round(((t - firstS) / (lastS - firstS)) * (width - 1)))
    ticks[at] = '┬'
    const word = timeWords(t)
    const start = Math.max(0, Math.min(at - Math.floor(word.length / 2), width - word.length))
    if (words !== '' && start < words.length + 1) continue
    words = words.padEnd(start) + word
  }
  return [ticks.join(''), words]
}

/** Names of settled colours under their stretch, where they fit; empty when none does. */
function nameLine(strip: StripToDraw, width: number): string {
  const firstS = strip.samples[0]!.timeS
  const span = strip.samples.at(-1)!.timeS - firstS
  let line = ''
  for (const s of stretchesOf(strip.samples, strip.turns)) {
    const from = ((s.fromS - firstS) / span) * width
    const to = ((s.toS - firstS) / span) * width
    const wide = textWidth(s.name)
    const start = Math.round((from + to - wide) / 2)
    if (to - from + 1 < wide || start < 0 || (line !== '' && start < textWidth(line) + 1)) continue
    line = pad(line, start, 'left') + s.name
  }
  return line
}

/** A letter for each name: its first free letter, small before large, then digits. */
export function lettersFor(names: readonly string[]): ReadonlyMap<string, string> {
  const taken = new Map<string, string>()
  const used = new Set<string>()
  for (const name of names) {
    if (taken.has(name)) continue
    const plain = name.replace(/[^a-z]/gi, '')
    const letter = `${plain.toLowerCase()}${plain.toUpperCase()}0123456789`.split('').find((c) => !used.has(c)) ?? '?'
    used.add(letter)
    taken.set(name, letter)
  }
  return taken
}

/** The strip as one row of letters, with the key; it says when each settled colour is there. */
function lettersLines(strip: StripToDraw, width: number): readonly string[] {
  const stretches = stretchesOf(strip.samples, strip.turns)
  const letters = lettersFor(stretches.map((s) => s.name))
  const firstS = strip.samples[0]!.timeS
  const span = strip.samples.at(-1)!.timeS - firstS
  let row = ''
  let k = 0
  for (let i = 0; i < width; i++) {
    // The newest colour of a cell, so that a short one is not passed over.
    const ends = firstS + (span * (i + 1)) / width
    while (k + 1 < stretches.length && stretches[k + 1]!.fromS < ends) k++
    row += letters.get(stretches[k]!.name)
  }
  return [row, [...letters].map(([name, letter]) => `${letter} ${name}`).join('   ')]
}

/** The strip as lines of text. */
export function drawStripText(strip: StripToDraw, look: TerminalLook): readonly string[] {
  const caption = wrap(strip.caption, look.columns)
  const halves = stripColumns(strip.samples, 2 * look.columns).map((c) => c.hex)
  if (halves.length === 0) return [...caption, '(nothing to draw)']
  const [ticks = '', words = ''] = scaleLines(strip.samples[0]!.timeS, strip.samples.at(-1)!.timeS, look.columns)
  if (!look.colour) {
    const [row = '', key = ''] = lettersLines(strip, look.columns)
    return [...caption, row, ticks, words, ...wrap(key, look.columns)]
  }
  const names = nameLine(strip, look.columns)
  const full = fullRow(halves)
  return [...caption, ...Array.from({ length: ROWS }, () => full), ...(names === '' ? [] : [names]), ticks, words]
}
