/**
 * Bottles in a text that cannot be read as YAML (a tab, a quote or bracket too few), line by line and by nothing but their names: a slip of the pen must not
 * take the cautions on what stands on the bench away.
 */
import { treeLimits } from '@beakertide/basis/text'
import type { Bottle } from '@beakertide/core/makeup'

/** Far more than anybody has on one bench; a longer list is no list of bottles. */
const MOST_BOTTLES = 200
const LONGEST_NAME = 80
/** Of a longer line only so much is looked at, so that no text is slow to look through. */
const LONGEST_LINE = 400

/** A key of its own line at the left edge begins another part of the document. */
const PART = /^["']?(\w[\w ]*?)["']?[ \t]*:/
/** `id: { … substance: name …`, or `substance: name` on a line of its own. */
const NAMED = /(?:^|[{,\s])substance["']?[ \t]*:[ \t]*["']?([^,}"'#\n]+)/
/** `id: name` */
const SHORT = /^[ \t]*-?[ \t]*["']?([^:"'{}]+?)["']?[ \t]*:[ \t]*["']?([^{}[\]"'#,\n]+)/
const KEY = /^[ \t]*-?[ \t]*["']?([^:"'{}]+?)["']?[ \t]*:/

/**
 * `isKnown` tells whether a name stands in the substance table: without "substance" in front, only such a value is taken for one.
 * Once each, in the order of the text; nothing but id and substance.
 */
export function writtenBottles(text: string, isKnown: (name: string) => boolean): readonly Bottle[] {
  const found = new Map<string, Bottle>()
  let isInBottles = false
  let lastKey = ''
  for (const whole of text.slice(0, treeLimits.mostCharacters).split('\n')) {
    const line = whole.slice(0, LONGEST_LINE)
    if (/^[ \t]*#/.test(line) || found.size >= MOST_BOTTLES) continue
    const part = PART.exec(line)
    if (part !== null) isInBottles = part[1] === 'bottles'
    const key = KEY.exec(line)?.[1]?.trim() ?? ''
    const named = NAMED.exec(line)?.[1]?.trim()
    const short = isInBottles && part === null ? SHORT.exec(line) : null
    const value = short?.[2]?.trim() ?? ''
    const substance = named ?? (isKnown(value) ? value : undefined)
    if (substance !== undefined && substance !== '' && substance.length <= LONGEST_NAME && !found.has(substance)) {
      const id = key === 'substance' ? lastKey : key
      found.set(substance, { id: id === '' ? substance : id, substance })
    }
    if (key !== '' && key !== 'substance') lastKey = key
  }
  return [...found.values()]
}
