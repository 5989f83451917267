/** Plain values as YAML that reads back as the same texts: how a person would write a document, not how a program dumps one. */

/** What can be written: texts, numbers, flags, lists and maps of them. Entries that are undefined are left out. */
export type YamlValue = string | number | boolean | readonly YamlValue[] | { readonly [key: string]: YamlValue | undefined }

/** Longest line that is written on purpose; a value that would pass it is spread over lines. */
export const WIDEST_LINE = 120

/** Texts that YAML reads as nothing, and so must be quoted to be texts. */
const READ_AS_NOTHING = /^(?:~|null|Null|NULL)?$/
/** Signs that mean something to YAML at the start of a plain text. */
const SPECIAL_START = /^[!&*|>%@`"'#{}[\],]|^[-?:](?:\s|$)|^---|^\.\.\./

/** Control characters and line ends only fit between double quotes. */
function needsEscapes(text: string): boolean {
  return /[\p{Cc}\u2028\u2029\ufeff]/u.test(text)
}

/** `text` as one YAML scalar in one line; plain where plain reads back the same, else in double quotes. */
export function writeScalar(text: string, where: 'flow' | 'block' | 'key'): string {
  const fitsPlain =
    !READ_AS_NOTHING.test(text) &&
    text === text.trim() &&
    !SPECIAL_START.test(text) &&
    !/:(?:\s|$)|\s#/.test(text) &&
    !needsEscapes(text) &&
    (where === 'block' || !/[,[\]{}]/.test(text)) &&
    // In braces a colon may part key and value without a space behind it.
    (where !== 'flow' || !text.replaceAll('://', '').includes(':')) &&
    (where !== 'key' || !/^[\s?]/.test(text))
  return fitsPlain ? text : JSON.stringify(text).replace(/[\u2028\u2029\ufeff\u007f-\u009f]/g, escaped)
}
const escaped = (c: string): string => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`

/** The same text in the quotes it had before, when it can stand in them. */
export function writeQuoted(text: string, quote: 'single' | 'double', where: 'flow' | 'block'): string {
  if (needsEscapes(text) || quote === 'double') return needsEscapes(text) ? writeScalar(text, where) : JSON.stringify(text)
  return `'${text.replaceAll("'", "''")}'`
}

const isList = (value: YamlValue): value is readonly YamlValue[] => Array.isArray(value)
const isMap = (value: YamlValue): value is { readonly [key: string]: YamlValue | undefined } =>
  typeof value === 'object' && !Array.isArray(value)
const entriesOf = (map: { readonly [key: string]: YamlValue | undefined }): readonly (readonly [string, YamlValue])[] =>
  Object.entries(map).filter((e): e is [string, YamlValue] => e[1] !== undefined)

/** The value in one line: `{ a: 1, b: [x, y] }`. */
export function writeInline(value: YamlValue, where: 'flow' | 'block'): string {
  if (isList(value)) return `[${value.map((item) => writeInline(item, 'flow')).join(', ')}]`
  if (!isMap(value)) return writeScalar(String(value), where)
  const entries = entriesOf(value)
  return entries.length === 0 ? '{}' : `{ ${entries.map(([k, v]) => `${writeScalar(k, 'key')}: ${writeInline(v, 'flow')}`).join(', ')} }`
}

/** Maps and lists within one another. */
function depthOf(value: YamlValue): number {
  if (isList(value)) return 1 + Math.max(0, ...value.map(depthOf))
  return isMap(value) ? 1 + Math.max(0, ...entriesOf(value).map(([, v]) => depthOf(v))) : 0
}

/**
 * What follows "key:" in a block: " value" in the same line, or a line break and an indented block. Maps of maps at the top of a
 * document get a line for each entry; deeper ones only when a line would be too wide.
 * @param level how deep the key stands: 0 for the keys of the document itself.
 * @param usedColumns columns that "key:" takes.
 */
export function writeAfterKey(value: YamlValue, indent: string, level: number, usedColumns: number): string {
  if (typeof value === 'string' && value.includes('\n') && canBeLiteral(value)) return ` ${writeLiteral(value, '|', `${indent}  `)}`
  const inline = writeInline(value, 'block')
  const isSection = level === 0 && depthOf(value) > 1
  const isEmpty = inline === '{}' || inline === '[]'
  if (isEmpty || (!isSection && usedColumns + 1 + inline.length <= WIDEST_LINE) || depthOf(value) === 0) return ` ${inline}`
  return `\n${writeBlock(value, `${indent}  `, level + 1)}`
}

/** A map or list with a line for each entry, without a line break at the end. */
export function writeBlock(value: YamlValue, indent: string, level: number): string {
  if (isList(value)) {
    return value
      .map((item) => {
        const inline = writeInline(item, 'block')
        if (depthOf(item) === 0 || indent.length + 2 + inline.length <= WIDEST_LINE) return `${indent}- ${inline}`
        return `${indent}- ${writeBlock(item, `${indent}  `, level + 1).trimStart()}`
      })
      .join('\n')
  }
  if (!isMap(value)) return `${indent}${writeInline(value, 'block')}`
  return entriesOf(value)
    .map(([key, v]) => {
      const start = `${indent}${writeScalar(key, 'key')}:`
      return `${start}${writeAfterKey(v, indent, level, start.length)}`
    })
    .join('\n')
}

/** Lines can stand under "|" when the first is not indented and none hides a control character. */
function canBeLiteral(text: string): boolean {
  return !/^[ \n]/.test(text) && !/[ \t]$/m.test(text) && !/[^\P{Cc}\n]|[\u2028\u2029\ufeff]/u.test(text)
}

/** Longest line of a folded text. */
const FOLD_AT = 100

/**
 * A text of lines under "|" or ">", with the header. One line break at the end of the text is the plain header's own; without one the
 * header says so. Null when the text cannot be written so.
 */
export function writeBlockText(text: string, style: '|' | '>', indent: string): string | null {
  if (!canBeLiteral(text) || text.trim() === '' || /\n\n+$/.test(text)) return null
  if (style === '|') return writeLiteral(text, '|', indent)
  // A folded text has a blank line for each line break it means.
  const lines = text
    .replace(/\n$/, '')
    .split('\n')
    .map((line) => (/^\s/.test(line) ? null : folded(line, FOLD_AT - indent.length)))
  if (lines.includes(null)) return null
  const body = lines.flatMap((l, i) => (i === 0 ? l! : ['', ...l!])).map((l) => (l === '' ? '' : indent + l))
  return `>${text.endsWith('\n') ? '' : '-'}\n${body.join('\n')}`
}

function writeLiteral(text: string, style: '|', indent: string): string {
  const body = text.replace(/\n$/, '').split('\n')
  return `${style}${text.endsWith('\n') ? '' : '-'}\n${body.map((l) => (l === '' ? '' : indent + l)).join('\n')}`
}

/** Words in lines of at most `width`; only single spaces may be broken. */
function folded(line: string, width: number): readonly string[] {
  const lines: string[] = []
  let now = ''
  for (const word of line.split(/(?<=\S) (?=\S)/)) {
    if (now !== '' && now.length + 1 + word.length > width) {
      lines.push(now)
      now = word
    } else now = now === '' ? word : `${now} ${word}`
  }
  return [...lines, now]
}
