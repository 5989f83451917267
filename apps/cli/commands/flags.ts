/** Flags and arguments that commands share, with their words. */
import { numberParser } from '@stricli/core'

const inWords =
  (what: string, holds: (n: number) => boolean) =>
  (text: string): number => {
    const n = numberParser(text)
    if (!holds(n)) throw new SyntaxError(`${text} is not ${what}`)
    return n
  }

/** A whole number from 0 on. */
export const wholeNumber = inWords('a whole number from 0 on', (n) => Number.isInteger(n) && n >= 0)
/** A number above 0. */
export const aboveZero = inWords('a number above 0', (n) => Number.isFinite(n) && n > 0)
/** A number from 0 on. */
export const fromZero = inWords('a number from 0 on', (n) => Number.isFinite(n) && n >= 0)

const text = (value: string): string => value

export const answerFlags = {
  json: { kind: 'boolean', brief: 'Answer in JSON (docs/json.md)', default: false, withNegated: false },
  plain: { kind: 'boolean', brief: 'No colours: words and numbers only', default: false, withNegated: false },
} as const

export const fileArgument = {
  kind: 'tuple',
  parameters: [{ brief: 'Demonstration file (YAML)', parse: text, placeholder: 'file' }],
} as const

export const mechanismFlag = {
  mechanism: {
    kind: 'parsed',
    parse: text,
    brief: 'Rehearse with another mechanism of the catalogue',
    optional: true,
    placeholder: 'name',
  },
} as const

export const vesselFlag = {
  vessel: { kind: 'parsed', parse: text, brief: 'Only this vessel (default: every one)', optional: true, placeholder: 'name' },
} as const

export const outFlag = (brief: string) => ({ kind: 'parsed', parse: text, brief, optional: true, placeholder: 'path' }) as const
export { text as anyText }
