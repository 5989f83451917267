/** The coast in a terminal: one sign a place, the first axis to the right, the second upwards, and a key. No colour is needed. */
import { formatNumber } from '@beakertide/basis/units'
import { shareAlong, SHOW_WORDS, valueAlong, variedWords } from '@beakertide/core/papers'
import type { Coast, Show } from '@beakertide/core/rehearsal'
import type { TerminalLook } from './look.ts'
import { pad, textWidth, wrap } from './text-layout.ts'

const SIGNS: Readonly<Record<Show, string>> = { cycles: 'o', turns: '+', nothing: '.', refused: '!', unknown: '?' }
const SHOWS: readonly Show[] = ['refused', 'cycles', 'turns', 'nothing', 'unknown']
const AS_IT_IS = '@'
const LINES = 21
const MOST_COLUMNS = 72

type Axis = Coast['x']
const valueText = (axis: Axis, value: number): string => `${formatNumber(value, 3)}${axis.unit === 'times' ? '' : ` ${axis.unit}`}`

/** What is seen at a place: as at the nearest corner of the square it lies in. */
function showAt(coast: Coast, x: number, y: number): Show {
  const within = ([a, b]: readonly [number, number], v: number): boolean => v >= Math.min(a, b) && v <= Math.max(a, b)
  const cell = coast.cells.find((c) => within(c.x, x) && within(c.y, y))
  if (cell === undefined) return 'unknown'
  const right = Math.abs(x - cell.x[1]) < Math.abs(x - cell.x[0]) ? 1 : 0
  const up = Math.abs(y - cell.y[1]) < Math.abs(y - cell.y[0]) ? 1 : 0
  return cell.corners[(right + 2 * up) as 0 | 1 | 2 | 3]
}

/** Lines of text, no longer than the look's columns. */
export function drawCoastText(coast: Coast, look: TerminalLook): readonly string[] {
  const { x, y } = coast
  const heading = wrap(`Up: ${variedWords(y.varied, y.unit)}. To the right: ${variedWords(x.varied, x.unit)}.`, look.columns)
  const labels = [valueText(y, y.to), valueText(y, valueAlong(y, 0.5)), valueText(y, y.from)]
  const left = Math.max(...labels.map(textWidth)) + 1
  const width = Math.max(10, Math.min(MOST_COLUMNS, look.columns - left))
  const column = Math.round(shareAlong(x, x.present) * (width - 1))
  const line = LINES - 1 - Math.round(shareAlong(y, y.present) * (LINES - 1))
  const seen = new Set<Show>()
  const rows = Array.from({ length: LINES }, (_, row) => {
    const signs = Array.from({ length: width }, (_sign, i) => {
      const show = showAt(coast, valueAlong(x, i / (width - 1)), valueAlong(y, 1 - row / (LINES - 1)))
      seen.add(show)
      return row === line && i === column ? AS_IT_IS : SIGNS[show]
    })
    const label = row === 0 ? labels[0]! : row === (LINES - 1) / 2 ? labels[1]! : row === LINES - 1 ? labels[2]! : ''
    return `${pad(label, left, 'left')}${signs.join('')}`
  })
  const [low, middle, high] = [0, 0.5, 1].map((share) => valueText(x, valueAlong(x, share))) as [string, string, string]
  const gap = Math.max(1, Math.floor(width / 2 - textWidth(low) - textWidth(middle) / 2))
  const rest = Math.max(1, width - textWidth(low) - gap - textWidth(middle) - textWidth(high))
  const scale = `${' '.repeat(left)}${low}${' '.repeat(gap)}${middle}${' '.repeat(rest)}${high}`
  const isThere = line >= 0 && line < LINES && column >= 0 && column < width
  const key = [
    ...SHOWS.filter((show) => seen.has(show)).map((show) => `${SIGNS[show]} ${SHOW_WORDS[show]}`),
    ...(isThere ? [`${AS_IT_IS} the recipe as it is`] : []),
  ]
  return [...heading, ...rows, scale.slice(0, look.columns), ...wrap(key.join(', '), look.columns)]
}
