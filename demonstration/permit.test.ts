import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { changedRecipe, constraintOf, permittedRecipe } from './changed-recipe.ts'
import { permit, prepare } from './day.ts'
import { type HouseFacts, openDocument, prepareDocument } from './open-document.ts'

const house: HouseFacts = { day: facts.day(), mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
const examples = new URL('../examples/', import.meta.url)
const named = (kind: 'right' | 'wrong'): readonly (readonly [string, string])[] =>
  readdirSync(new URL(kind, examples))
    .filter((file) => file.endsWith('.yaml'))
    .map((file) => [`${kind}/${file}`, readFileSync(new URL(`${kind}/${file}`, examples), 'utf8')])
const beside = () => ({ ok: false, why: 'none' }) as const

describe('what is asked of a row of a carpet refuses what preparing refuses', () => {
  it.each([...named('right'), ...named('wrong')])('%s', (name, text) => {
    const opened = openDocument(text, name, beside, house)
    if (!opened.ok) return
    const { demonstration, mechanism } = opened.value
    const [permitted, prepared] = [permit(demonstration, mechanism, house.day), prepare(demonstration, mechanism, house.day)]
    if (!permitted.ok || !prepared.ok) {
      expect(permitted).toEqual(prepared)
      return
    }
    const { makeUp, cautions } = prepared.value
    expect(permitted.value).toEqual({ demonstration, mechanism, makeUp, cautions })
  })
  it.each(['tide-in-a-jar', 'slow-fuse', 'rising-foam'])('%s, its amounts and temperature changed until it is refused', (name) => {
    const opened = openDocument(readFileSync(new URL(`right/${name}.yaml`, examples), 'utf8'), name, beside, house)
    const prepared = opened.ok ? prepareDocument(opened.value, house) : opened
    if (!prepared.ok) throw new Error(`${name} is not ready`)
    const keys = prepared.value.makeUp.portions.map((p) => `${p.solution}/${p.bottle}`)
    const changes = [
      ...keys.flatMap((key) => [0, 3, 30].map((value) => ({ amount: { of: 'ingredient', name: key, portions: [key] } as const, value }))),
      { amount: { of: 'temperature', name: 'temperature' } as const, value: 70 },
    ]
    const verdicts = changes.map((change) => {
      const [quick, whole] = [permittedRecipe, changedRecipe].map((ask) => ask(prepared.value, [change], house.day))
      expect(quick!.ok ? [] : quick!.problems).toEqual(whole!.ok ? [] : whole!.problems)
      expect(constraintOf(quick!, prepared.value)).toEqual(constraintOf(whole!, prepared.value))
      return quick!.ok
    })
    expect(verdicts).toContain(true)
    expect(verdicts).toContain(false)
  })
})
