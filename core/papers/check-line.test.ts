import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkCharacters, checkCodes, checkLine, compareCheckLine, printedNumber } from './check-line.ts'

const line = (...parts: readonly (string | number)[]) => ({ text: parts.join(' '), parts })
const codeOf = (...parts: readonly (string | number)[]): string => checkCodes([line(...parts)]).lines[0]!

/** Every text that differs from a printed number in one digit, or by a swap of two neighbouring digits that differ. */
function misread(printed: string): readonly string[] {
  const at = [...printed.matchAll(/\d/g)].map((m) => m.index)
  const put = (changes: Readonly<Record<number, string>>): string => Array.from(printed, (c, i) => changes[i] ?? c).join('')
  const wrong = at.flatMap((i) => Array.from('0123456789', (d) => put({ [i]: d })))
  const swapped = at.slice(1).map((j, k) => put({ [at[k]!]: printed[j]!, [j]: printed[at[k]!]! }))
  return [...wrong, ...swapped].filter((text) => text !== printed)
}

describe('check characters', () => {
  it('are those of the standard', () => {
    // ISO/IEC 7064:2003, section 8.2 (as quoted in the tests of two independent libraries)
    expect(checkCharacters('ISO79')).toBe('3W')
  })

  it('leave the remainder 1 that the standard asks of a protected text', () => {
    fc.assert(
      fc.property(fc.stringMatching(/^[0-9A-Z]{1,60}$/), (text) => {
        const whole = text + checkCharacters(text)
        // the sum of character values times powers of 36, by long integers
        const sum = Array.from(whole).reduce((s, c) => s * 36n + BigInt(Number.parseInt(c, 36)), 0n)
        expect(sum % 1271n).toBe(1n)
      }),
      { seed: 7 },
    )
  })
})

describe('a recipe line', () => {
  it('gets another code for every wrong digit and every swap of neighbours', () => {
    for (const printed of ['0.19', '190', '2.5', '1000', '0.0125', '98.65', '21', '12.5', '404.040404', '0.000001', '70007']) {
      const right = codeOf('iodate', Number(printed), 'mmol/L')
      for (const text of misread(printed)) expect([text, codeOf('iodate', Number(text), 'mmol/L')]).not.toEqual([text, right])
    }
  })

  it('does so for any number that can be printed, any words round it', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 999_999_999 }), fc.integer({ min: 0, max: 6 }), fc.string(), (digits, decimals, word) => {
        const printed = printedNumber(digits / 10 ** decimals)
        const right = codeOf(word, Number(printed), 'mL')
        for (const text of misread(printed)) expect(codeOf(word, Number(text), 'mL')).not.toBe(right)
      }),
      { seed: 11, numRuns: 60 },
    )
  })

  it('gets the same code for the same number written otherwise, and another for a shifted point', () => {
    expect(codeOf('acid', 0.3)).toBe(codeOf('Acid', 0.1 + 0.2))
    expect(codeOf('acid', 0.3)).not.toBe(codeOf('acid', 3))
    expect(codeOf('acid', -5)).not.toBe(codeOf('acid', 5))
  })

  it('gets another code for a wrong letter and for swapped letters', () => {
    expect(codeOf('iodate')).not.toBe(codeOf('iodite'))
    expect(codeOf('bromate')).not.toBe(codeOf('bormate'))
    expect(codeOf('δ-säure')).not.toBe(codeOf('δ-sauer'))
  })

  it('prints numbers that read back as themselves', () => {
    expect([0.1 + 0.2, 100, 1e-6, 12.345678].map(printedNumber)).toEqual(['0.3', '100', '0.000001', '12.345678'])
  })
})

describe('a check line typed from paper', () => {
  const codes = checkCodes([line('water', 100, 'mL'), line('iodate', 0.19, 'mol/L'), line('acid', 2.5, 'mL')])
  const printed = checkLine(codes)

  it('agrees with its own recipe, however it is spaced or capitalised', () => {
    expect(compareCheckLine(printed, codes)).toEqual({ same: true })
    expect(compareCheckLine(` ${printed.toLowerCase()} `, codes)).toEqual({ same: true })
  })

  it('says which line differs', () => {
    const other = checkCodes([line('water', 100, 'mL'), line('iodate', 0.91, 'mol/L'), line('acid', 2.5, 'mL')])
    expect(compareCheckLine(printed, other)).toEqual({ same: false, lines: [1], linesTyped: 3 })
  })

  it('says when lines are missing', () => {
    const shorter = checkCodes([line('water', 100, 'mL')])
    expect(compareCheckLine(printed, shorter)).toEqual({ same: false, lines: [], linesTyped: 3 })
    expect(compareCheckLine('', codes)).toEqual({ same: false, lines: [], linesTyped: 0 })
  })
})
