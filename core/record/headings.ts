/** What a heading says of a column: its name, its unit, and the predicted trace that it belongs to. */
import { ZERO_CELSIUS_K } from '@beakertide/basis/units'
import type { Trace } from '../rehearsal/index.ts'

export interface Heading {
  readonly name: string
  /** As written, with the common spellings made one; '' when none is stated. */
  readonly unit: string
}

/** Spellings of the units that are turned into one another. */
const SPELLINGS: Readonly<Record<string, string>> = {
  mv: 'mV',
  v: 'V',
  c: '°C',
  '°c': '°C',
  degc: '°C',
  celsius: '°C',
  k: 'K',
  ml: 'mL',
  l: 'L',
  au: '',
  'a.u.': '',
  '1': '',
  '-': '',
}
const known = (unit: string): string | undefined => {
  const bare = unit.trim().toLowerCase()
  return Object.hasOwn(SPELLINGS, bare) ? SPELLINGS[bare] : undefined
}

/** "E (mV)", "E / mV", "E [mV]", "T_C", "E mV": name and unit; anything else is all name. */
export function readHeading(header: string): Heading {
  const text = header.trim()
  // A wavelength is part of the name.
  if (/\d\s*nm\s*[)\]]?$/.test(text)) return { name: text, unit: '' }
  const bracket = /^(.*?)\s*[([]\s*([^()[\]]*?)\s*[)\]]$/.exec(text)
  if (bracket && bracket[1] !== '') return { name: bracket[1]!, unit: known(bracket[2]!) ?? bracket[2]! }
  const slash = /^(.*\S)\s*\/\s*(\S+)$/.exec(text)
  if (slash) return { name: slash[1]!, unit: known(slash[2]!) ?? slash[2]! }
  const last = /^(.*[^\s_])[\s_]+(\S+)$/.exec(text)
  const unit = last ? known(last[2]!) : undefined
  return last && unit !== undefined && last[2] !== '-' && last[2] !== '1' ? { name: last[1]!, unit } : { name: text, unit: '' }
}

/** A value in another unit: value · factor + plus. */
export interface IntoUnit {
  readonly factor: number
  readonly plus: number
}

const SAME: IntoUnit = { factor: 1, plus: 0 }

/** How a unit becomes another, null when it cannot. An unstated unit is taken for the wanted one. "mV against …" is mV. */
export function intoUnit(from: string, to: string): IntoUnit | null {
  const wanted = to.split(' ')[0]!
  if (from === '' || from === wanted) return SAME
  switch (`${from} to ${wanted}`) {
    case 'V to mV':
      return { factor: 1000, plus: 0 }
    case 'K to °C':
      return { factor: 1, plus: -ZERO_CELSIUS_K }
    case 'mL to L':
      return { factor: 1e-3, plus: 0 }
    case 'L to mL':
      return { factor: 1000, plus: 0 }
    default:
      return null
  }
}

const isMillivolts = (trace: Pick<Trace, 'unit'>): boolean => trace.unit.split(' ')[0] === 'mV'

/**
 * Name of the predicted trace that a column belongs to, by its unit and name; null when the heading does not say. Where two electrodes are
 * predicted and the heading names none, the first.
 */
export function traceFor(heading: Heading, predicted: readonly Pick<Trace, 'name' | 'unit'>[]): string | null {
  const words = heading.name.toLowerCase()
  const named = (test: (trace: Pick<Trace, 'name' | 'unit'>) => boolean): string | null => predicted.find(test)?.name ?? null
  if (heading.unit === 'mV' || heading.unit === 'V') {
    if (/\bpt\b|plat|redox|orp/.test(words)) return named((x) => isMillivolts(x) && x.name.includes('platinum'))
    if (/iod|\bi-|agi\b|\bise\b/.test(words)) return named((x) => isMillivolts(x) && x.name.includes('iodide'))
    return named(isMillivolts)
  }
  if (heading.unit === '°C' || heading.unit === 'K') return named((x) => x.name.includes('temperature'))
  if (heading.unit === 'mL' || heading.unit === 'L') return named((x) => x.name.includes('gas'))
  if (heading.unit !== '') return null
  if (/^pi\b/.test(words)) return named((x) => x.name === 'pI')
  if (words.startsWith('temp')) return named((x) => x.name.includes('temperature'))
  if (/^(?:a|abs(?:orban[cz]e?)?|od|ext(?:in[ck]tion)?)(?:$|[\s_\d])/.test(words)) return named((x) => x.name.includes('absorbance'))
  return null
}
