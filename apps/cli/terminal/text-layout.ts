/** Words into lines of a given width. */

/** Columns a text takes; combining marks take none. */
export function textWidth(text: string): number {
  // Almost every text is plain; the segmenter is slow.
  if (/^[\u0020-\u007e]*$/.test(text)) return text.length
  let width = 0
  for (const { segment } of new Intl.Segmenter('en', { granularity: 'grapheme' }).segment(text))
    width += /\p{Extended_Pictographic}/u.test(segment) ? 2 : 1
  return width
}

export const pad = (text: string, width: number, side: 'left' | 'right'): string => {
  const gap = ' '.repeat(Math.max(0, width - textWidth(text)))
  return side === 'left' ? text + gap : gap + text
}

/** Lines no longer than `width`, broken at spaces; continuation lines start with `indent`. Words longer than a line are cut. */
export function wrap(text: string, width: number, indent = ''): readonly string[] {
  const lines: string[] = []
  let line = ''
  const room = (): number => Math.max(1, width - (lines.length > 0 ? indent.length : 0))
  const push = (part: string): void => {
    lines.push((lines.length > 0 ? indent : '') + part)
  }
  const start = /^ */.exec(text)?.[0] ?? ''
  for (let word of text.split(/ +/).filter((w) => w !== '')) {
    if (line !== '' && textWidth(line) + 1 + textWidth(word) > room()) {
      push(line)
      line = ''
    }
    if (line === '' && lines.length === 0) word = start + word
    while (textWidth(word) > room()) {
      // Rather after a hyphen or a stroke than anywhere.
      const fits = word.slice(0, room())
      const at = Math.max(fits.lastIndexOf('-'), fits.lastIndexOf('/')) + 1
      const cut = at > fits.length / 3 ? at : fits.length
      push(word.slice(0, cut))
      word = word.slice(cut)
    }
    line = line === '' ? word : `${line} ${word}`
  }
  if (line !== '' || lines.length === 0) push(line)
  return lines
}

/** One line, shortened at a word with "…" when it does not fit. */
export function oneLine(text: string, width: number): string {
  if (textWidth(text) <= width) return text
  const [first = ''] = wrap(text, width - 2)
  return `${first} …`
}
