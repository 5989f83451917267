/** The carpet in a terminal: one line a strip, the value at its left, a shared time scale, numbers at its right; without colour, letters with their key. */
import { isPresent, rowWords, stretchesOf, stripColumns, variedWords } from '@beakertide/core/papers'
import type { Carpet, CarpetRow } from '@beakertide/core/rehearsal'
import { fullRow, lettersFor, scaleLines } from './draw-strip.ts'
import type { TerminalLook } from './look.ts'
import { pad, textWidth, wrap } from './text-layout.ts'

/** Narrower terminals leave the numbers to the table. */
const WORDS_FROM_COLUMNS = 80

/** One letter a cell; the cell in which a turn falls shows the colour after it. */
function letterRow(row: CarpetRow, letters: ReadonlyMap<string, string>, carpet: Carpet, width: number): string {
  const stretches = stretchesOf(row.strip, row.turns)
  let k = 0
  let out = ''
  for (let i = 0; i < width && stretches.length > 0; i++) {
    const ends = carpet.fromS + ((carpet.toS - carpet.fromS) * (i + 1)) / width
    while (k + 1 < stretches.length && stretches[k + 1]!.fromS < ends) k++
    out += letters.get(stretches[k]!.name) ?? '?'
  }
  return out
}

/** Lines of text, no longer than the look's columns. */
export function drawCarpetText(carpet: Carpet, look: TerminalLook): readonly string[] {
  const heading = wrap(`Colour against time over ${variedWords(carpet.varied, carpet.unit)}; ">" is the recipe as it is`, look.columns)
  if (carpet.rows.length === 0) return [...heading, '(nothing to draw)']
  const labels = carpet.rows.map((row) => `${isPresent(carpet, row) ? '> ' : '  '}${row.text}`)
  const words = carpet.rows.map((row) => (look.columns < WORDS_FROM_COLUMNS ? '' : ` ${rowWords(row)}`))
  const left = Math.max(...labels.map(textWidth)) + 1
  const width = Math.max(10, look.columns - left - Math.max(...words.map(textWidth)))
  const letters = lettersFor(carpet.rows.flatMap((row) => stretchesOf(row.strip, row.turns).map((s) => s.name)))
  const lines = carpet.rows.map((row, i) => {
    const halves = look.colour ? stripColumns(row.strip, 2 * width).map((c) => c.hex) : []
    const strip = look.colour
      ? halves.length > 0
        ? fullRow(halves)
        : ' '.repeat(width)
      : letterRow(row, letters, carpet, width).padEnd(width)
    return `${pad(labels[i]!, left, 'left')}${strip}${words[i]!}`.trimEnd()
  })
  const scale = scaleLines(carpet.fromS, carpet.toS, width).map((line) => (' '.repeat(left) + line).trimEnd())
  const key = look.colour ? [] : wrap([...letters].map(([name, letter]) => `${letter} ${name}`).join('   '), look.columns)
  return [...heading, ...lines, ...scale, ...key]
}
