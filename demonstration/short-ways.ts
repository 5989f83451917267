/** The short ways of writing a document, opened so far as a change needs. */
import { parseQuantity } from '@beakertide/basis/units'
import type { YamlPath, YamlValue } from '@beakertide/basis/text'

/** The parts of "300 mL of A at 10 s", as the reader of vessels takes them. */
const POUR = /^(.+?)\s+of\s+(.+?)(?:\s+at\s+(.+))?$/

/**
 * What stands at `at` as one text, rewritten so that the value at `rest` inside it is `value` (undefined: gone). Null: it is no short way
 * that has such a part.
 */
export function openedShortWay(at: YamlPath, text: string, rest: YamlPath, value: unknown): YamlValue | null {
  const [part, ...deeper] = rest
  if (typeof part !== 'string') return null
  // A recipe within "found" is written like a document.
  const place = at[0] === 'found' ? at.slice(2) : at
  if (place[0] === 'bottles' && place.length === 2) return opened({ substance: text }, part, deeper, value)
  if (place[0] === 'solutions' && place.length === 4 && place[2] === 'with') return opened({ [targetOf(text)]: text }, part, deeper, value)
  if (place[0] === 'solutions' && place.length === 3 && place[2] === 'with')
    return text.trim().toLowerCase() === 'water' ? opened({}, part, deeper, value) : null
  const isPour = (place[0] === 'vessels' && place[2] === 'pours' && place.length === 4) || (place[0] === 'pours' && place.length === 2)
  if (!isPour || deeper.length > 0 || (value !== undefined && typeof value !== 'string')) return null
  return pourText(text, part, value)
}

/** A map with one part set. What is gone from a map of one text leaves that text. */
function opened(map: Readonly<Record<string, YamlValue>>, part: string, deeper: YamlPath, value: unknown): YamlValue | null {
  if (value === undefined) return deeper.length === 0 ? map : null
  const inner = deeper.reduceRight<unknown>((v, key) => (typeof key === 'number' ? [v] : { [key]: v }), value)
  return { ...map, [part]: inner as YamlValue }
}

/** Which way of stating an amount a bare quantity is. */
export function targetOf(text: string): 'mass' | 'volume' | 'in solution' {
  const read = parseQuantity(text, ['mass', 'volume'], {})
  return read.ok ? (read.value.kind === 'mass' ? 'mass' : 'volume') : 'in solution'
}

/** The parts of a pour that is written as one text; null: it is none. */
export function pourParts(text: string): { readonly volume: string; readonly solution: string; readonly at: string } | null {
  const [, volume, solution, at] = POUR.exec(text.trim()) ?? []
  return volume === undefined || solution === undefined ? null : { volume, solution, at: at ?? '' }
}

function pourText(text: string, part: string, value: string | undefined): YamlValue | null {
  const [, volume, solution, at] = POUR.exec(text.trim()) ?? []
  if (volume === undefined || solution === undefined) return null
  if (part === 'volume' && value !== undefined) return writePour(value, solution, at)
  if (part === 'pour' && value !== undefined) return writePour(volume, value, at)
  if (part === 'temperature' && value !== undefined) return { pour: solution, volume, at, temperature: value }
  return part === 'at' ? writePour(volume, solution, value) : null
}

/** "300 mL of A at 10 s"; nothing is said of a time that is 0. */
export function writePour(volume: string, solution: string, at: string | undefined): string {
  return `${volume} of ${solution}${at === undefined || /^0(?:\.0*)?(?:\s|$)/.test(at.trim()) ? '' : ` at ${at}`}`
}
