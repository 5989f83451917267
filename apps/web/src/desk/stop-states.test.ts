import { readFileSync } from 'node:fs'
import { facts } from '@beakertide/data'
import type { DangerLine } from '@beakertide/core/papers'
import { describe, expect, it } from 'vitest'
import { en } from '../words/en/all.ts'
import { fill } from '../words/phrases.ts'
import type { t } from '../words/index.ts'
import { dayCalls } from '../work/worker/day-calls.ts'
import { houseOf } from '../work/worker/house.ts'
import { isGrave } from './grave.ts'
import { stopState, stops } from './stop-states.ts'

const words: typeof t = (key, fillings) => fill(en[key], fillings ?? {}, 'en', String)
const calls = dayCalls(houseOf(facts))
const example = (folder: string, name: string) =>
  calls.open({ text: readFileSync(new URL(`../../../../examples/${folder}/${name}`, import.meta.url), 'utf8'), beside: {} }, name)

describe('how the stops stand', () => {
  it('with nothing open, only bench and shelf can be gone to', () => {
    const going = stops.filter((stop) => stopState(stop, null, false, words).state !== 'stop')
    expect(going).toEqual(['bench', 'shelf'])
  })
  it('of a good example, none stops, and perform asks to read the grave cautions', () => {
    const day = example('right', 'tide-in-a-jar.yaml')
    const states = stops.map((stop) => stopState(stop, day, true, words))
    expect(states.filter((s) => s.state === 'stop')).toEqual([])
    expect(stopState('perform', day, true, words)).toMatchObject({
      state: 'look',
      why: expect.stringMatching(/grave cautions: read them first/),
    })
  })
  it('the count at perform is that of the lines that stand open there', () => {
    const day = example('right', 'tide-in-a-jar.yaml')
    const n = day.danger.filter(isGrave).length
    expect(stopState('perform', day, true, words).why).toBe(`${n} grave cautions: read them first`)
  })
  it('clearing asks to look once grave dangers of it are known', () => {
    const day = example('right', 'tide-in-a-jar.yaml')
    const line: DangerLine = { severity: 4, refused: false, onlyIf: false, about: 'leftovers', what: 'it bursts.', instead: '' }
    const clearing = (lines: readonly DangerLine[] | null) => stopState('clearing', day, true, words, lines)
    expect(clearing([line])).toEqual({ state: 'look', why: 'one grave danger in clearing: read it first' })
    expect([clearing(null).state, clearing([{ ...line, severity: 2 }]).state]).toEqual(['ready', 'ready'])
  })
  it('of a broken text, every stop after the shelf says what is wrong', () => {
    const day = calls.open({ text: 'beakertide: 1\ntitle: x\n', beside: {} }, 'x.yaml')
    for (const stop of stops.slice(2)) {
      const { state, why } = stopState(stop, day, true, words)
      expect(state).toBe('stop')
      expect(why).not.toBe('')
    }
  })
  it('of a refused document, the refusal stands whole at the first stop that is held up, and the others lead there', () => {
    const day = example('wrong', 'acetone-peroxide-acid.yaml')
    expect(day.prepared).toBeNull()
    expect(stopState('makeup', day, true, words)).toMatchObject({ state: 'stop', why: expect.stringMatching(/^danger, refused/) })
    for (const stop of stops.slice(3)) expect(stopState(stop, day, true, words)).toEqual({ state: 'stop', why: 'same reason: see Make-up' })
  })
  it('of a document that is not prepared, the cautions that are known come with it', () => {
    const refused = example('wrong', 'bleach-and-acid.yaml')
    expect(refused.danger[0]).toMatchObject({ refused: true, about: 'vessel "jar"' })
    expect(refused.known?.incomplete).toBeUndefined()
    const broken = example('wrong', 'vessel-overfilled.yaml')
    expect(broken.danger.filter(isGrave).length).toBeGreaterThan(3)
    expect(broken.known?.incomplete).toMatch(/not complete/)
    expect(broken.known?.standing.length).toBeGreaterThan(5)
    expect(calls.open({ text: '- a list', beside: {} }, 'x.yaml').known).toBeUndefined()
  })
})
