/** What stands on the pages of a PDF that the browser of these tests printed: enough of the format for that one writer. */
import { inflateSync } from 'node:zlib'

interface PdfObject {
  readonly head: string
  readonly stream: string
}

function objectsOf(pdf: Buffer): ReadonlyMap<string, PdfObject> {
  const text = pdf.toString('latin1')
  const objects = new Map<string, PdfObject>()
  for (const found of text.matchAll(/(?:^|\n)(\d+) 0 obj\s([^]*?)endobj/g)) {
    const [, id = '', body = ''] = found
    const at = /\bstream\r?\n/.exec(body)
    const head = at ? body.slice(0, at.index) : body
    const length = Number(/\/Length (\d+)/.exec(head)?.[1] ?? 0)
    const raw = at ? Buffer.from(body.slice(at.index + at[0].length).slice(0, length), 'latin1') : Buffer.alloc(0)
    const isPacked = head.includes('/FlateDecode')
    objects.set(id, { head, stream: (isPacked && raw.length > 0 ? inflateSync(raw) : raw).toString('latin1') })
  }
  return objects
}

const utf16 = (hex: string): string => String.fromCharCode(...(hex.match(/.{4}/g) ?? []).map((unit) => Number.parseInt(unit, 16)))

/** Codes of glyphs to letters, as the font itself says them. */
function lettersOf(font: PdfObject, objects: ReadonlyMap<string, PdfObject>): ReadonlyMap<number, string> {
  const map = objects.get(/\/ToUnicode (\d+) 0 R/.exec(font.head)?.[1] ?? '')?.stream ?? ''
  const letters = new Map<number, string>()
  for (const [, part = ''] of map.matchAll(/beginbfchar([^]*?)endbfchar/g))
    for (const [, code = '', unicode = ''] of part.matchAll(/<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>/g))
      letters.set(Number.parseInt(code, 16), utf16(unicode))
  for (const [, part = ''] of map.matchAll(/beginbfrange([^]*?)endbfrange/g))
    for (const [, low = '', high = '', unicode = ''] of part.matchAll(/<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>/g))
      for (let code = Number.parseInt(low, 16); code <= Number.parseInt(high, 16); code++)
        letters.set(code, String.fromCodePoint(Number.parseInt(unicode, 16) + code - Number.parseInt(low, 16)))
  return letters
}

/** Text page by page, in the order in which it is drawn, without any white space: a PDF has places, no spaces one could rely on. */
export function pdfPages(pdf: Buffer): readonly string[] {
  const objects = objectsOf(pdf)
  const pages = [...objects.values()].filter(({ head }) => /\/Type\s*\/Page\b(?!s)/.test(head))
  return pages.map((page) => {
    const fonts = new Map(
      [...page.head.matchAll(/\/(F\d+) (\d+) 0 R/g)].map(([, name = '', id = '']) => {
        const font = objects.get(id) ?? { head: '', stream: '' }
        return [name, { letters: lettersOf(font, objects), digits: font.head.includes('/Type0') ? 4 : 2 }] as const
      }),
    )
    const content = objects.get(/\/Contents (\d+) 0 R/.exec(page.head)?.[1] ?? '')?.stream ?? ''
    let font = fonts.get('')
    let said = ''
    for (const [, name, hex] of content.matchAll(/\/(F\d+) [\d.]+ Tf|<([0-9A-Fa-f]+)>/g)) {
      if (name !== undefined) font = fonts.get(name)
      else if (hex !== undefined && font)
        for (const code of hex.match(new RegExp(`.{${font.digits}}`, 'g')) ?? []) said += font.letters.get(Number.parseInt(code, 16)) ?? ''
    }
    return said.replace(/\s+/g, '')
  })
}
