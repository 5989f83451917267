import { describe, expect, it } from 'vitest'
import { entry, readTree, type TreeMap } from '@beakertide/basis/text'
import type { Notes } from './fields.ts'
import { type Migration, upToDate } from './versions.ts'

/** An invented history: version 1 called the title "name"; version 2 calls it "title"; version 3 is current. */
const history: readonly Migration[] = [
  { from: 1, change: (d) => ({ ...d, entries: d.entries.map((e) => (e.key === 'name' ? { ...e, key: 'title' } : e)) }) },
  { from: 2, change: (d) => d },
]
const brought = (text: string, known: readonly Migration[], current: number): { document: TreeMap | null; codes: readonly string[] } => {
  const tree = readTree(text, 'old.yaml')
  const notes: Notes = { problems: [], warnings: [] }
  if (!tree.ok) throw new Error('not YAML')
  return { document: upToDate(tree.value, notes, known, current), codes: notes.problems.map((p) => p.code) }
}

describe('old documents are brought up to date', () => {
  it('step by step, places kept', () => {
    const { document, codes } = brought('beakertide: 1\nname: Old\n', history, 3)
    expect(codes).toEqual([])
    expect(document && entry(document, 'title')?.value).toMatchObject({ text: 'Old', span: { line: 2, column: 7 } })
  })
  it('newer and forgotten versions are refused', () => {
    expect(brought('beakertide: 4', history, 3).codes).toEqual(['document/version-newer'])
    expect(brought('beakertide: 1', history.slice(1), 3).codes).toEqual(['document/version-too-old'])
  })
})
