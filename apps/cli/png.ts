/** Our SVG pictures as pictures of dots. The letters are those of fonts that come along, so a picture looks the same on every machine. */
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import type * as Resvg from '@resvg/resvg-js'

const require = createRequire(import.meta.url)

/** Dots a pixel of the drawing: sharp on paper and on dense screens. */
const DOTS_A_PIXEL = 2
const FAMILY = 'Source Sans 3'
/** Font files, the second for signs that the first lacks. */
const FONTS = [
  ['source-sans', 'TTF/SourceSans3-Regular.ttf'],
  ['source-sans', 'TTF/SourceSans3-Bold.ttf'],
  ['dejavu-fonts-ttf', 'ttf/DejaVuSans.ttf'],
  ['dejavu-fonts-ttf', 'ttf/DejaVuSans-Bold.ttf'],
] as const

/** The drawing on white, as PNG. The drawing must be ours: it is taken as well-formed. */
export function pngOf(svg: string): Uint8Array {
  // Loaded when first needed: most commands draw nothing.
  const library = require('@resvg/resvg-js') as typeof Resvg
  const fontFiles = FONTS.map(([name, file]) => join(dirname(require.resolve(`${name}/package.json`)), file))
  const drawing = new library.Resvg(svg, {
    background: '#ffffff',
    fitTo: { mode: 'zoom', value: DOTS_A_PIXEL },
    font: { fontFiles, loadSystemFonts: false, defaultFontFamily: FAMILY, sansSerifFamily: FAMILY },
  })
  return drawing.render().asPng()
}
