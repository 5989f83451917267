/** Figures to keep: SVG text of strips, traces, carpets and the network, as a file or as a PNG. Loaded when first asked for. */
import { drawCarpet, drawStrip, drawTraces } from '@beakertide/core/papers'
import type { Carpet } from '@beakertide/core/rehearsal'
import { said } from '../words/index.ts'
import type { Course } from '../pages/rehearsal/course.ts'

/** Width of figures, px: a page column at 96 px an inch. */
const WIDTH_PX = 900

/** A figure stands alone: a ground of its own and a font that is there everywhere. */
export function standalone(svg: string, ground = '#ffffff'): string {
  const withSize = svg.replace(/viewBox="0 0 ([\d.]+) ([\d.]+)" width="100%"/, 'viewBox="0 0 $1 $2" width="$1" height="$2"')
  return withSize
    .replaceAll('font-family="inherit"', `font-family="'Source Sans 3', 'DejaVu Sans', sans-serif"`)
    .replace(/>/, `><rect width="100%" height="100%" fill="${ground}"/>`)
}

/** Colours in the words of the page. */
const toldStrip = ({ strip, turns }: Pick<Course, 'strip' | 'turns'>) => ({
  samples: strip.map((s) => ({ ...s, name: said(s.name) })),
  turns: turns.map((x) => ({ ...x, from: said(x.from), to: said(x.to) })),
})

export const stripFigure = (c: Course, label: string): string =>
  standalone(drawStrip({ ...toldStrip(c), widthPx: WIDTH_PX, heightPx: 70, label, tell: said }))
export const tracesFigure = (c: Course, label: string): string =>
  standalone(drawTraces({ traces: c.traces.map((x) => ({ ...x, name: said(x.name) })), widthPx: WIDTH_PX, bandPx: 120, label, tell: said }))
export const carpetFigure = (c: Carpet): string =>
  standalone(drawCarpet({ carpet: c, widthPx: WIDTH_PX, rowPx: 22, label: said(`Carpet over ${c.varied}`), tell: said }))

/** A name that any disk takes. */
export const fileName = (name: string, ending: string): string =>
  `${name.replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '') || 'figure'}.${ending}`

export function saveBlob(blob: Blob, name: string): void {
  const url = URL.createObjectURL(blob)
  const link = document.createElement('a')
  link.href = url
  link.download = name
  link.click()
  // The browser has taken the address by then.
  setTimeout(() => URL.revokeObjectURL(url), 10_000)
}

export const saveSvg = (svg: string, name: string): void => saveBlob(new Blob([svg], { type: 'image/svg+xml' }), fileName(name, 'svg'))

/** The figure as pixels, `scale` for each of its own. */
export async function pngOf(svg: string, scale = 2): Promise<Blob> {
  const size = /width="([\d.]+)" height="([\d.]+)"/.exec(svg)
  const [width, height] = [Number(size?.[1] ?? WIDTH_PX), Number(size?.[2] ?? WIDTH_PX)]
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }))
  try {
    const image = new Image()
    image.src = url
    await image.decode()
    const canvas = document.createElement('canvas')
    canvas.width = Math.round(width * scale)
    canvas.height = Math.round(height * scale)
    canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height)
    return await new Promise((resolve, reject) =>
      canvas.toBlob((b) => (b ? resolve(b) : reject(new Error('no picture was made'))), 'image/png'),
    )
  } finally {
    URL.revokeObjectURL(url)
  }
}

export const savePng = async (svg: string, name: string): Promise<void> => saveBlob(await pngOf(svg), fileName(name, 'png'))
