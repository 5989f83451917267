import { describe, expect, it } from 'vitest'
import { lateness, observationOf, readRunRecord, type RunRecord, runToPrint, turnsACycle } from './run-record.ts'

const turn = (timeS: number) => ({ timeS, lowS: null, highS: null, from: 'amber', to: 'blue' })
const run: RunRecord = {
  id: 'r1',
  version: 1,
  of: 'tide',
  title: 'Tide',
  vessel: 'jar',
  document: { text: 'x', beside: {} },
  startedAt: 1_700_000_000_000,
  stoppedS: 300,
  pouredS: { 1: 14 },
  turnsSeenS: [20, 31, 44],
  notes: [{ atS: 25, text: 'foam' }],
  cautionsRead: ['cautions/x'],
  predicted: { startS: 10, periodS: 21, turns: [13, 30, 34, 51, 55].map(turn) },
}

describe('a run read back', () => {
  it('is itself after JSON', () => {
    expect(readRunRecord(JSON.parse(JSON.stringify(run)))).toEqual(run)
  })
  it('is refused when anything in it is not what it must be', () => {
    const broken: readonly unknown[] = [
      null,
      [],
      'run',
      { ...run, version: 2 },
      { ...run, turnsSeenS: [1, 'two'] },
      { ...run, startedAt: '2026' },
      { ...run, notes: [{ atS: 1 }] },
      { ...run, document: { text: 1, beside: {} } },
      { ...run, predicted: { startS: 1, periodS: null, turns: [{}] } },
    ]
    expect(broken.map(readRunRecord)).toEqual(broken.map(() => null))
  })
})

describe('what was seen', () => {
  it('counts from the pour that set it off, as it was really made', () => {
    expect(lateness([0, 10], run.pouredS, 10)).toBe(4)
    expect(lateness([0, 10], {}, 10)).toBe(0)
    // two predicted turns a cycle (13 to 34), so the third tap closes the first one: 44 - 20
    expect(turnsACycle(run.predicted)).toBe(2)
    expect(observationOf(run, 4)).toEqual({ firstTurnS: 6, periodS: 24, lengthS: 30 })
  })
  it('takes the last tap for the end only when enough time went by after it', () => {
    expect(observationOf({ ...run, stoppedS: 50 }, 4)).toEqual({ firstTurnS: 6, periodS: 24 })
  })
  it('says that nothing was seen, and for how long', () => {
    expect(observationOf({ ...run, turnsSeenS: [] }, 4)).toEqual({ nothingUntilS: 286 })
    expect(observationOf({ ...run, turnsSeenS: [], stoppedS: null }, 0)).toEqual({})
  })
  it('has no period where nothing swings', () => {
    const once = { ...run, predicted: { ...run.predicted, periodS: null, turns: [turn(60)] } }
    expect(observationOf({ ...once, turnsSeenS: [70] }, 0)).toEqual({ firstTurnS: 60 })
  })
  it('prints', () => {
    expect(runToPrint(run, () => 'then')).toEqual({ vessel: 'jar', startedAt: 'then', turnsSeenS: [20, 31, 44], notes: ['foam'] })
  })
})
