import { afterAll, describe, expect, it } from 'vitest'
import { chooseLanguage } from '../../words/index.ts'
import { useNumbersOf } from '../../words/numbers.ts'
import { compareHeights, compareSeen, rounded } from './measured-words.ts'

const watched = { fromS: 0, toS: 200, startS: 10 }

describe('measured beside predicted', () => {
  it('says how the first one and the pace stand to the prediction, from the pour on', () => {
    // From the pour at 10 s on, everything takes 1.2 times as long: 20, 40, 60 s become 24, 48, 72 s.
    const c = compareSeen('swings', 'E', [34, 58, 82], [30, 50, 70], watched)
    expect(c.seen).toBe('E: 3 swings, the first at 34 s and the last at 82 s on the clock.')
    expect(c.lines).toEqual([
      'The first comes 4 s later than predicted (30 s).',
      'Counted from the pour that starts it, the first 3 take 20 % longer than predicted.',
    ])
    expect(c.firstOffS).toBe(4)
  })
  it('counts what has no partner, and leaves out what was not watched', () => {
    const c = compareSeen('turns', 'run', [30.4], [30, 50, 70, 300], watched)
    expect(c.lines).toEqual(['The first comes when predicted (30 s).', '2 more are predicted in that time.'])
    expect(compareSeen('turns', 'run', [30, 40, 50], [30], watched).lines).toEqual([
      'The first comes when predicted (30 s).',
      '2 more were seen than are predicted.',
    ])
  })
  it('says what cannot be compared', () => {
    expect(compareSeen('swings', 'E', [], [30], watched)).toMatchObject({
      seen: 'E: nothing swings above its scatter, so no times are compared.',
      lines: [],
    })
    expect(compareSeen('swings', 'E', [30], null, watched).lines).toEqual([])
    expect(compareSeen('swings', 'E', [30], [300], watched).lines).toEqual(['None is predicted in that time.'])
  })
  it('says heights of a slow trace without digits of rounding', () => {
    const c = compareHeights('T', '°C', [21.0312, 24.6], [21, 22.4000001])
    expect([c.seen, ...c.lines]).toEqual(['T: 21 to 24.6 °C.', 'Predicted in that time: 21 to 22.4 °C.'])
    expect(rounded(4.3e-16, 2)).toBe(0)
  })
  describe('in German', () => {
    afterAll(() => chooseLanguage('en').then(() => useNumbersOf('en')))
    it('has its own decimals', async () => {
      await chooseLanguage('de')
      const c = compareSeen('swings', 'E', [34.5, 58], [30, 50], watched)
      expect(c.seen).toBe('E: 2 Ausschläge, der erste bei 34,5 s und der letzte bei 58 s auf der Uhr.')
      expect(c.lines[0]).toBe('Der erste kommt 4,5 s später als vorhergesagt (30 s).')
    })
  })
})
