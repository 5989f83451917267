import { facts } from '@beakertide/data'
import { besideIn, openDocument } from '@beakertide/demonstration'
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { emptyDocument, retitled } from './new-document.ts'

const house = { day: facts.day(), mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
const open = (text: string) => openDocument(text, 'new.yaml', besideIn({ text, beside: {} }), house)

describe('new documents', () => {
  it('keep everything of the one they begin from but title and reaction', () => {
    const example = readFileSync(new URL('../../../../../examples/right/tide-in-a-jar.yaml', import.meta.url), 'utf8')
    const title = 'Mine: "second" $& try'
    const made = open(retitled(example, title, 'iodate-peroxide-malonate/extended'))
    expect(made.ok && made.value.demonstration).toMatchObject({ title, reaction: { name: 'iodate-peroxide-malonate/extended' } })
  })
  it('begin empty with problems that say what to write, all of them about what is missing', () => {
    const made = open(emptyDocument('Nothing yet', 'chlorite-iodide/elementary'))
    expect(made.ok).toBe(false)
    if (!made.ok) expect(made.problems.every((p) => /bottles|solutions|vessels/.test(`${p.where} ${p.what}`))).toBe(true)
  })
})
