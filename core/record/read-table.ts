/**
 * A text of numbers as instruments and spreadsheets write it, split into headings and rows. Separators, remarks, lines before the headings
 * and a row of units are found out; what is left out is said.
 */
import { done, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { cellNumber, clockSeconds, type RecordTable } from './read-record.ts'

/** More rows than any instrument of a demonstration writes in a day at one a second, and more than are worth keeping in a browser: our choice. */
export const MOST_ROWS = 200_000
/** Our choice: far above any logger on a bench. */
export const MOST_COLUMNS = 40
/** Lines looked at to find out the separator. */
const SAMPLE_LINES = 50
/** Problems of one kind that are listed one by one; the rest are counted. */
const LISTED = 40
/** Headings longer than this are cut: nobody reads them on a trace. */
const LONGEST_HEADING = 60

type Split = (line: string) => readonly string[]

/** One line at a mark, quoted cells whole; stops soon after the most columns allowed. */
function splitAt(mark: string): Split {
  return (line) => {
    if (!line.includes('"')) return line.split(mark, MOST_COLUMNS + 2)
    const cells: string[] = []
    let cell = ''
    let isQuoted = false
    for (let i = 0; i < line.length && cells.length < MOST_COLUMNS + 2; i++) {
      const c = line[i]!
      if (c === '"') {
        if (isQuoted && line[i + 1] === '"') {
          cell += '"'
          i++
        } else isQuoted = !isQuoted
      } else if (c === mark && !isQuoted) {
        cells.push(cell)
        cell = ''
      } else cell += c
    }
    cells.push(cell)
    return cells
  }
}

const SPLITS: readonly Split[] = [
  splitAt('\t'),
  splitAt(';'),
  splitAt(','),
  (line) => line.trim().split(/ {2,}|\t/, MOST_COLUMNS + 2),
  (line) => line.trim().split(/\s+/, MOST_COLUMNS + 2),
]
const whole: Split = (line) => [line]

const isRemark = (line: string): boolean => /^\s*"?(?:#|%|\/\/)/.test(line)
const isNumber = (cell: string): boolean => Number.isFinite(cellNumber(cell)) || clockSeconds(cell) !== undefined

/** Does it look like a row of the table: half its filled cells are numbers, and at least one. */
function isData(cells: readonly string[]): boolean {
  let filled = 0
  let numbers = 0
  for (const cell of cells) {
    if (cell.trim() === '') continue
    filled++
    if (isNumber(cell)) numbers++
  }
  return numbers > 0 && numbers * 2 >= filled
}

interface Line {
  readonly at: number
  readonly text: string
}

/** Where the numbers begin, and how many of the sample's lines from there on have as many cells as most. */
function fits(sample: readonly Line[], split: Split): { readonly first: number; readonly count: number; readonly share: number } | null {
  const cells = sample.map((line) => split(line.text))
  const first = cells.findIndex((row, i) => isData(row) && (cells[i + 1] === undefined || isData(cells[i + 1]!)))
  if (first < 0) return null
  const counts = new Map<number, number>()
  for (const row of cells.slice(first)) counts.set(row.length, (counts.get(row.length) ?? 0) + 1)
  const [count, times] = [...counts].sort((a, b) => b[1] - a[1] || b[0] - a[0])[0]!
  // Headings of another number of cells: this is no separator of theirs.
  const head = cells[first - 1]
  const agrees = head === undefined || head.length === count ? 1 : 0.5
  return { first, count, share: (times / (cells.length - first)) * agrees }
}

/** The separator that gives the most even rows; a single column when none does. */
function bestSplit(sample: readonly Line[]): { readonly split: Split; readonly first: number } | null {
  let best: { readonly split: Split; readonly first: number; readonly share: number } | null = null
  for (const split of SPLITS) {
    const fit = fits(sample, split)
    if (fit && fit.count >= 2 && (best === null || fit.share > best.share + 1e-9)) best = { split, first: fit.first, share: fit.share }
  }
  const single = fits(sample, whole)
  if (best !== null && (best.share > 0.5 || single === null)) return best
  return single === null ? best : { split: whole, first: single.first }
}

/** "mV", "(s)", "[°C]", "", "-": what stands in a row of units. */
const UNIT_CELL = /^\s*(?:[([]?\s*(?:[µumkM]?(?:s|V|L|l|mol\/L|A)|min|h|sec|°?[CFK]|degC|AU|pH|%|-|)\s*[)\]]?)\s*$/

const cut = (text: string, most: number): string => (text.length > most ? `${text.slice(0, most)}…` : text)

/**
 * Splits a text into a table. Refused: no rows of numbers, more than `MOST_ROWS` rows or `MOST_COLUMNS` columns, rows with more cells than
 * headings (all of them named, up to a count). Warnings: lines before the headings that were not read, missing headings.
 */
export function readTable(text: string, from: string): Outcome<RecordTable> {
  const lines: Line[] = []
  let at = 0
  for (const line of text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/)) {
    at++
    if (line.trim() !== '' && !isRemark(line)) lines.push({ at, text: line })
  }
  const found = bestSplit(lines.slice(0, SAMPLE_LINES))
  if (found === null) {
    return refuse({
      code: 'record/no-numbers',
      where: from,
      what: lines.length === 0 ? 'there is nothing in it' : 'no rows of numbers were found in its first lines',
      todo: 'give a text table: a line of headings such as "t (s);E (mV)", then a row of numbers a line, separated by tabs, semicolons, commas or spaces',
    })
  }
  const { split, first } = found
  const count = lines.length - first
  if (count > MOST_ROWS) {
    return refuse({
      code: 'record/too-long',
      where: from,
      what: `${count} rows of numbers; ${MOST_ROWS} are read at most`,
      todo: 'keep every second or tenth row, or cut the record into pieces',
    })
  }
  const problems: Problem[] = []
  const warnings: Problem[] = []
  let headings = first > 0 ? split(lines[first - 1]!.text) : null
  let above = first - 1
  if (headings !== null && first > 1 && headings.every((cell) => UNIT_CELL.test(cell)) && headings.some((cell) => cell.trim() !== '')) {
    const names = split(lines[first - 2]!.text)
    if (names.length === headings.length) {
      const units = headings.map((cell) => cell.replace(/[()[\]]/g, '').trim())
      headings = names.map((name, i) => (units[i] === '' || units[i] === '-' ? name : `${name.trim()} (${units[i]})`))
      above = first - 2
    }
  }
  const sampleRow = split(lines[first]!.text)
  const width = Math.max(headings?.length ?? 0, sampleRow.length)
  if (width > MOST_COLUMNS) {
    return refuse({
      code: 'record/too-wide',
      where: from,
      what: `more than ${MOST_COLUMNS} columns`,
      todo: 'keep the column of time and those of the instruments that matter',
    })
  }
  if (headings === null || headings.length < sampleRow.length) {
    warnings.push({
      code: 'record/no-headings',
      where: `${from}, line ${lines[Math.max(0, first - 1)]!.at}`,
      what: headings === null ? 'there is no line of headings' : `${headings.length} headings for ${sampleRow.length} columns`,
      todo: 'name each column and its unit in the line above the numbers, as in "t (s);E (mV)"',
    })
    above = headings === null ? first - 1 : above - 1
    headings = null
  }
  if (above > 0) {
    warnings.push({
      code: 'record/lines-left-out',
      where: `${from}, lines ${lines[0]!.at} to ${lines[above - 1]!.at}`,
      what: 'lines before the headings were not read',
      todo: 'look whether a unit or a time stands there that the headings should say',
    })
  }
  const seen = new Map<string, number>()
  const header = (headings ?? sampleRow.map((_, i) => `column ${i + 1}`)).map((cell, i) => {
    const name = cut(cell.trim(), LONGEST_HEADING) || `column ${i + 1}`
    const times = (seen.get(name) ?? 0) + 1
    seen.set(name, times)
    return times === 1 ? name : `${name} [${times}]`
  })
  const rows: (readonly string[])[] = []
  const rowLines: number[] = []
  let tooMany = 0
  for (const line of lines.slice(first)) {
    const cells = split(line.text)
    rows.push(cells)
    rowLines.push(line.at)
    if (cells.length > header.length && cells.slice(header.length).some((cell) => cell.trim() !== '') && tooMany++ < LISTED) {
      problems.push({
        code: 'record/cells',
        where: `${from}, line ${line.at}`,
        what: `${cells.length} cells for ${header.length} headings`,
        todo: 'correct the line; a decimal comma needs another separator than the comma',
      })
    }
  }
  if (tooMany > LISTED) problems.push(furtherProblems('record/cells', from, tooMany - LISTED))
  return problems.length > 0 ? refuse(...problems) : done({ from, header, rows, lines: rowLines }, warnings)
}

/** Says how many more there are of a kind whose first ones are listed. */
function furtherProblems(code: string, from: string, count: number): Problem {
  return {
    code,
    where: from,
    what: `${count} further places of the same kind are not listed`,
    todo: 'mend the listed ones and read it again',
  }
}
