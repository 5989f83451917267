/** Flags and arguments that commands share, with their words. Messages say what was met, what is allowed and what to write. */
import { suggestion } from '@beakertide/basis/problems'

const number = (text: string): number => (/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text.trim()) ? Number(text) : Number.NaN)

const numberThat =
  (what: string, example: string, holds: (n: number) => boolean) =>
  (text: string): number => {
    const n = number(text)
    if (!Number.isFinite(n) || !holds(n)) throw new SyntaxError(`"${text}" is not ${what}; write it as in "${example}"`)
    return n
  }

/** A band or scale beyond this is a slip of the finger. */
const MOST = 100_000

/** A whole number from 0 on. */
export const wholeNumber = numberThat('a whole number from 0 to 100000', '40', (n) => Number.isInteger(n) && n >= 0 && n <= MOST)
/** A whole number from 1 on. */
export const countingNumber = numberThat('a whole number from 1 to 1000', '3', (n) => Number.isInteger(n) && n >= 1 && n <= 1000)
/** A number above 0. */
export const aboveZero = numberThat('a number above 0', '0.5', (n) => n > 0)
/** A number from 0 on. */
export const fromZero = numberThat('a number from 0 on', '20', (n) => n >= 0)

/** One of a few words. */
export const oneOf =
  <T extends string>(words: readonly T[]) =>
  (text: string): T => {
    const found = words.find((w) => w === text)
    if (found === undefined) throw new SyntaxError(`"${text}" is none of: ${words.join(', ')}${hint(text, words)}`)
    return found
  }

function hint(text: string, words: readonly string[]): string {
  const near = suggestion(text, words)
  return near.startsWith('did you mean') ? `; ${near}` : ''
}

export const anyText = (value: string): string => value

export const answerFlags = {
  json: { kind: 'boolean', brief: 'Answer in JSON (docs/json.md)', default: false, withNegated: false },
  plain: { kind: 'boolean', brief: 'No colours: words and numbers only', default: false, withNegated: false },
} as const

export const fileArgument = {
  kind: 'tuple',
  parameters: [{ brief: 'Demonstration file (YAML)', parse: anyText, placeholder: 'file' }],
} as const

export const mechanismFlag = {
  mechanism: {
    kind: 'parsed',
    parse: anyText,
    brief: 'Rehearse with another mechanism of the catalogue',
    optional: true,
    placeholder: 'name',
  },
} as const

export const vesselFlag = {
  vessel: { kind: 'parsed', parse: anyText, brief: 'Only this vessel (default: every one)', optional: true, placeholder: 'name' },
} as const

/** The ten-to-ninety limits of 40 evenly drawn runs wander by a sixteenth to a thirteenth of the band (sums of 15 normal errors). */
export const bandFlags = {
  band: { kind: 'parsed', parse: wholeNumber, brief: 'Varied runs for the band at most; 0 for none', default: '40', placeholder: 'n' },
  seed: {
    kind: 'parsed',
    parse: wholeNumber,
    brief: 'Seed of the band: the same seed gives the same band',
    default: '1',
    placeholder: 'n',
  },
} as const

/** More threads than this are a slip of the finger. */
const MOST_THREADS = 256
export const threadsFlag = {
  threads: {
    kind: 'parsed',
    parse: numberThat('a whole number from 0 to 256', '2', (n) => Number.isInteger(n) && n >= 0 && n <= MOST_THREADS),
    brief: "Threads for long work; 0: none besides the program's own (default: one a processor core)",
    optional: true,
    placeholder: 'n',
  },
} as const

export const outFlag = (brief: string) => ({ kind: 'parsed', parse: anyText, brief, optional: true, placeholder: 'path' }) as const
/** A picture is written as its path ends. */
const picturePath = (path: string): string => {
  if (/\.(?:svg|png)$/i.test(path)) return path
  throw new SyntaxError(`"${path}" ends neither in .svg nor in .png; write it as in "picture.png"`)
}
export const pictureFlag = (brief: string) => ({ kind: 'parsed', parse: picturePath, brief, optional: true, placeholder: 'path' }) as const
