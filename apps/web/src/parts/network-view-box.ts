/** The part of a picture that is seen: moved and made closer. No framework. */
export interface ViewBox {
  readonly x: number
  readonly y: number
  readonly width: number
  readonly height: number
}

const CLOSEST = 8
/** A small picture is not blown up further than this. */
const LARGEST = 1.5
const clamp = (v: number, low: number, high: number): number => Math.min(Math.max(low, high), Math.max(Math.min(low, high), v))

/** The whole picture in a window of this shape (px), in the middle. */
export function wholeBox(
  picture: { readonly width: number; readonly height: number },
  window: { readonly width: number; readonly height: number },
): ViewBox {
  const scale = Math.max(picture.width / Math.max(1, window.width), picture.height / Math.max(1, window.height), 1 / LARGEST)
  const [width, height] = [window.width * scale, window.height * scale]
  return { x: (picture.width - width) / 2, y: (picture.height - height) / 2, width, height }
}

/** Closer (factor below 1) or wider around a point that stays in its place; never wider than the whole. */
export function zoomBox(box: ViewBox, whole: ViewBox, factor: number, at: { readonly x: number; readonly y: number }): ViewBox {
  const width = clamp(box.width * factor, whole.width / CLOSEST, whole.width)
  const k = width / box.width
  return within({ x: at.x - (at.x - box.x) * k, y: at.y - (at.y - box.y) * k, width, height: box.height * k }, whole)
}

export const panBox = (box: ViewBox, whole: ViewBox, dx: number, dy: number): ViewBox =>
  within({ ...box, x: box.x + dx, y: box.y + dy }, whole)

const within = (box: ViewBox, whole: ViewBox): ViewBox => ({
  ...box,
  x: clamp(box.x, whole.x, whole.x + whole.width - box.width),
  y: clamp(box.y, whole.y, whole.y + whole.height - box.height),
})
