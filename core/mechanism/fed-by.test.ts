import { facts } from '@beakertide/data'
import { describe, expect, it } from 'vitest'
import { compoundNamed } from '../matter/index.ts'
import { parseMechanism } from './parse-mechanism.ts'
import { isFedBy } from './fed-by.ts'

const matter = facts.matter()
const mechanisms = facts.mechanisms().map((m) => {
  const read = parseMechanism(m.text, m.file)
  if (!read.ok) throw new Error(m.name)
  return read.value
})
const fed = (...names: readonly string[]): readonly string[] => {
  const species = names.flatMap((name) => {
    const found = compoundNamed(name, matter)
    if (!found) throw new Error(name)
    return found.entersWater.map((e) => e.species)
  })
  return [...new Set(mechanisms.filter((m) => isFedBy(m, species)).map((m) => m.name.split('/')[0]!))]
}

// Which reagents make which demonstration: data/mechanisms, their `overall` lines.
describe('mechanisms fed by the substances of a recipe', () => {
  it.each([
    [['potassium iodate', 'sodium metabisulfite', 'starch (soluble)'], ['iodate-bisulfite']],
    [['potassium persulfate', 'potassium iodide', 'sodium thiosulfate pentahydrate'], ['persulfate-iodide-thiosulfate']],
    [['potassium permanganate', 'oxalic acid dihydrate'], ['permanganate-oxalate']],
    [['glucose', 'methylene blue'], ['glucose-methylene-blue']],
    [['potassium bromate', 'malonic acid', 'cerium(IV) ammonium sulfate dihydrate', 'sulfuric acid'], ['bromate-malonate-cerium']],
  ] as const)('%j', (names, expected) => {
    const found = fed(...names)
    for (const name of expected)
      expect(
        found.some((f) => f.startsWith(name)),
        `${name} in ${found.join(', ')}`,
      ).toBe(true)
  })
  it('nothing is fed by table salt, and iodate with peroxide alone feeds no reaction that needs malonic acid', () => {
    expect(fed('sodium chloride')).toEqual([])
    expect(fed('potassium iodate', 'hydrogen peroxide').filter((n) => n.includes('malonate'))).toEqual([])
    expect(fed('potassium iodate', 'hydrogen peroxide', 'malonic acid', 'manganese(II) sulfate monohydrate')).toContain(
      'iodate-peroxide-malonate',
    )
  })
})
