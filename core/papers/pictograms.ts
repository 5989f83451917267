/**
 * The hazard pictograms, drawn here from the description in the standard: a square set on a corner, white ground, red frame, one
 * black symbol (data/hazards/ghs_pictograms.csv; ghs_rules.csv LAB-10). The drawings are our own: few heavy shapes, so that they
 * are told apart at a side of 10 mm and in black and white.
 */
import { escapeMarkup } from './markup.ts'

/** Coordinates 0 to 100; the inside of the frame is |x - 50| + |y - 50| < 43. Black, with white cut out again. */
interface Drawing {
  /** Name of the symbol, for people who do not see it. */
  readonly name: string
  readonly shapes: string
}

/** Three tongues with a light core; foot at (20, 50) of a box 40 by 50. */
const FLAME =
  '<path d="M20 50C8 50 1 42 2 32 3 25 7 21 9 13c3 3 4 6 5 10C15 14 17 7 25 0c-1 7 2 11 6 16 0-4 0-7-1-10 7 7 10 16 9 25C38 43 31 50 20 50Z"/>' +
  '<path fill="#fff" d="M20 46c-5 0-8-3-7-8 1-4 4-6 4-10 3 2 4 4 4 7 2-3 3-5 2-8 5 4 6 8 5 12-1 5-4 7-8 7Z"/>'
const flame = (x: number, y: number, scale: number): string => `<g transform="translate(${x} ${y}) scale(${scale})">${FLAME}</g>`
const bar = (d: string, width: number): string =>
  `<path d="${d}" fill="none" stroke="#000" stroke-width="${width}" stroke-linecap="round"/>`
const disc = (x: number, y: number, r: number): string => `<circle cx="${x}" cy="${y}" r="${r}"/>`

/** Degrees, inner and outer end of the rays around the bomb. */
const RAYS: readonly (readonly [number, number, number])[] = [
  [-172, 20, 34],
  [-146, 20, 33],
  [-118, 21, 34],
  [-90, 24, 37],
  [-62, 21, 34],
  [-34, 20, 33],
  [-8, 20, 34],
]
function ray([degrees, from, to]: readonly [number, number, number]): string {
  const a = (degrees * Math.PI) / 180
  const at = (r: number, turn: number): string => `${(50 + r * Math.cos(a + turn)).toFixed(1)} ${(54 + r * Math.sin(a + turn)).toFixed(1)}`
  return `<path d="M${at(from, -0.13)}L${at(to, 0)} ${at(from, 0.13)}Z"/>`
}

/** A white star of six points. */
function star(x: number, y: number, outer: number, inner: number): string {
  const corners = Array.from({ length: 12 }, (_, i) => {
    const a = -Math.PI / 2 + (i * Math.PI) / 6
    const r = i % 2 === 0 ? outer : inner
    return `${(x + r * Math.cos(a)).toFixed(1)} ${(y + r * Math.sin(a)).toFixed(1)}`
  })
  return `<path fill="#fff" d="M${corners.join('L')}Z"/>`
}

const tube = (x: number, y: number, degrees: number): string =>
  `<g transform="translate(${x} ${y}) rotate(${degrees})"><path d="M-7-4.4H8V-5.8h3.2V5.8H8V4.4H-7a4.4 4.4 0 0 1 0-8.8Z"/></g>`
const drop = (x: number, y: number, scale: number): string =>
  `<path transform="translate(${x} ${y}) scale(${scale})" d="M0 0c1.6 2.4 2.4 3.2 2.4 4.6a2.4 2.4 0 0 1-4.8 0c0-1.4.8-2.2 2.4-4.6Z"/>`
const bone = (x1: number, y1: number, x2: number, y2: number): string => bar(`M${x1} ${y1}L${x2} ${y2}`, 5)

const DRAWINGS: Readonly<Record<string, Drawing>> = {
  GHS01: {
    name: 'exploding bomb',
    shapes:
      RAYS.map(ray).join('') +
      '<path d="M43.5 42.5L49 51 43.5 57.5 50 63 48.5 73.5A16 16 0 0 1 43.5 42.5ZM57.5 43L53.5 49.5 49 56.5 55.5 61.5 52.5 73.8A16 16 0 0 0 57.5 43Z"/><path d="M47 38.5l4-3.5 3.5 4.5-3.5 3.5ZM31.5 68.5l4.5-1 1.5 5-3.5 1.5ZM68.5 68.5l-4.5-1-1.5 5 3.5 1.5ZM46 79l3-2 4.5 1.5-2.5 4-3.5-.5Z"/>',
  },
  GHS02: {
    name: 'flame',
    shapes: flame(29, 15, 1.05) + bar('M36 73.5H64', 4.5),
  },
  GHS03: {
    name: 'flame over circle',
    shapes: `<circle cx="50" cy="62" r="11.5" fill="none" stroke="#000" stroke-width="5.5"/>` + flame(34, 11, 0.8) + bar('M41 79.5H59', 4),
  },
  GHS04: {
    name: 'gas cylinder',
    shapes:
      '<g transform="rotate(-38 50 50) translate(1 0)"><path d="M19 45q0-4.5 4.5-4.5h32q10 0 13 6h3.5v-4h5v15h-5v-4h-3.5q-3 6-13 6H23.5q-4.5 0-4.5-4.5Z"/><path fill="#fff" d="M25 45h30q5 0 8 2.5l-2 1.5H25Z"/></g>',
  },
  GHS05: {
    name: 'corrosion',
    shapes:
      tube(39.3, 30.5, 145) +
      tube(60.7, 30.5, 35) +
      drop(29.5, 40, 1.15) +
      drop(29.5, 47.2, 1.05) +
      drop(70.5, 40, 1.15) +
      drop(70.5, 47.2, 1.05) +
      '<path d="M20.5 57.5h5c.3 3.2 1.5 5 4 5s3.7-1.8 4-5H47v9.5H27.5Z"/>' +
      '<path d="M52.5 62.5c-1.5-1.5-.5-3.2 1.5-3.7l10-2.3c1.8-.4 2.8.3 3.3 1.8.8 2.7 1.8 4.2 3.7 4.2s3-1.5 3.8-4.2l.8-2.8 5.9 4.5-11 10.5c-7 0-13-2.8-18-8Z"/>' +
      '<path d="M55 57l7.5-5c2-1.2 4 .8 2.5 2.6L62 57.2Z"/><path d="M55.5 62.3l8.5-1.8" stroke="#fff" stroke-width="1.3"/>',
  },
  GHS06: {
    name: 'skull and crossbones',
    shapes:
      bone(33, 60, 66, 72) +
      bone(67, 60, 34, 72) +
      disc(31.5, 57.5, 3.4) +
      disc(29.5, 61.5, 3.4) +
      disc(68.5, 57.5, 3.4) +
      disc(70.5, 61.5, 3.4) +
      disc(35.5, 74.5, 3.3) +
      disc(33, 71, 3.3) +
      disc(64.5, 74.5, 3.3) +
      disc(67, 71, 3.3) +
      '<path fill="#fff" d="M36 45V59C36 64 42 66.5 50 66.5S64 64 64 59V45Z"/>' +
      '<path d="M50 16C62.5 16 68.5 25 67.5 36 67 42.5 64 46 61 48.5V57C61 61.5 57 63.5 50 63.5S39 61.5 39 57V48.5C36 46 33 42.5 32.5 36 31.5 25 37.5 16 50 16Z"/>' +
      '<g fill="#fff"><ellipse cx="42" cy="38" rx="5.6" ry="5.2"/><ellipse cx="58" cy="38" rx="5.6" ry="5.2"/><path d="M50 43.5L53.2 50H46.8Z"/><path d="M42.2 54.5h2v7h-2ZM46.6 55h2v8h-2ZM51.4 55h2v8h-2ZM55.8 54.5h2v7h-2Z"/></g>',
  },
  GHS07: {
    name: 'exclamation mark',
    shapes:
      '<path d="M50 15c5 0 8.5 3.5 8 8.5L54.5 57a4.5 4.5 0 0 1-9 0L42 23.5C41.5 18.5 45 15 50 15Z"/><circle cx="50" cy="74" r="7.5"/>',
  },
  GHS08: {
    name: 'health hazard',
    shapes:
      '<path d="M50 12a9.5 9.5 0 0 1 9.5 9.5V26c0 4-2 6.5-4 8l2 4c11 2 19 8 22 18L50 86 20.5 56c3-10 11-16 22-18l2-4c-2-1.5-4-4-4-8V21.5A9.5 9.5 0 0 1 50 12Z"/>' +
      star(50, 58, 17, 6),
  },
  GHS09: {
    name: 'environment',
    shapes:
      '<path d="M33.5 67c1.2-9 1.5-15 .3-21.5L24.5 40.5l1-2 7.3 3.3C32.5 35 31.5 29 31.5 24l3-.4c.3 5 1 9.5 2.2 13 1.7-4.6 4-9.3 6.3-12.8l2.3 1.2c-2.3 5.6-4.5 10.5-5.6 17 2.3-2.8 5.5-5.6 9-7.8l1.6 2c-4.5 3.6-8.4 8.2-10.6 13.6-.8 5.6-.5 11 1 17.2Z"/>' +
      '<path d="M24 66H76L70.5 71.5H29.5Z"/>' +
      '<path d="M78.5 55.5C74.5 49.5 68.5 47 62.5 47.5 57.5 48 54 50.5 51.5 53L45 48.5v14.5l6.5-3.5c2.5 2.5 6 4.5 11 4.7 6.5.3 12.5-3.2 16-8.7Z"/>' +
      '<path fill="none" stroke="#fff" stroke-width="1.7" d="M68.2 52.2l4.4 4.4M72.6 52.2l-4.4 4.4"/>',
  },
}

export interface PictogramOptions {
  /** Colour of the frame. The standard wants red; on a black-and-white printer the red prints as a grey frame. */
  readonly frame?: string
  /** Width and height attributes, mm along the diagonal; without it the drawing fills its place. */
  readonly diagonalMm?: number
}

/** Names of the symbols by code, "GHS05" -> "corrosion". */
export const PICTOGRAM_NAMES: Readonly<Record<string, string>> = Object.fromEntries(
  Object.entries(DRAWINGS).map(([code, d]) => [code, d.name]),
)

/** A red that prints dark enough in grey to be seen as a frame. */
const FRAME_RED = '#d40000'

/** One pictogram as SVG that needs nothing else. A code without a symbol stands as its text in the frame, so that nothing is lost silently. */
export function pictogramSvg(code: string, options: PictogramOptions = {}): string {
  const drawing = Object.hasOwn(DRAWINGS, code) ? DRAWINGS[code] : undefined
  const label = escapeMarkup(drawing ? `${code} ${drawing.name}` : code)
  const size = options.diagonalMm === undefined ? '' : ` width="${options.diagonalMm}mm" height="${options.diagonalMm}mm"`
  const inside = drawing?.shapes ?? `<text x="50" y="55" text-anchor="middle" font-size="15" font-weight="700">${escapeMarkup(code)}</text>`
  return `<svg xmlns="http://www.w3.org/2000/svg" role="img"${size} viewBox="0 0 100 100" aria-label="${label}"><path d="M50 3.3 96.7 50 50 96.7 3.3 50Z" fill="#fff" stroke="${escapeMarkup(options.frame ?? FRAME_RED)}" stroke-width="4.6"/>${inside}</svg>`
}
