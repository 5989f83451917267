import { describe, expect, it } from 'vitest'
import { writtenBottles } from './written-bottles.ts'

const isKnown = (name: string): boolean => ['sulfuric acid', 'potassium iodate', 'starch (soluble)'].includes(name)
const names = (text: string): readonly string[] => writtenBottles(text, isKnown).map((b) => `${b.id}: ${b.substance}`)

describe('bottles named in a text that cannot be read', () => {
  it('are found in every way of writing one', () => {
    const text = [
      'bottles:',
      '\tacid: { substance: sulfuric acid, strength: 96 % }',
      '  \'old one\': { pack: 500 mL, substance: "hydrogn peroxid" }',
      '  starch: starch (soluble) # for the blue',
      '  iodate:',
      '      substance: potassium iodate',
      '      purity: 99 %',
    ].join('\n')
    expect(names(text)).toEqual(['acid: sulfuric acid', 'old one: hydrogn peroxid', 'starch: starch (soluble)', 'iodate: potassium iodate'])
  })
  it('are no comments, no other keys, and nothing twice; without "substance" only among the bottles and only by a known name', () => {
    const text = [
      '# acid: { substance: sulfuric acid }',
      'bottles:',
      '  iodate: { substance: potassium iodate }',
      '  more: { substance: potassium iodate }',
      '  odd: strange stuff',
      'solutions:',
      '  A: sulfuric acid',
    ].join('\n')
    expect(names(text)).toEqual(['iodate: potassium iodate'])
    expect(names('no list of bottles\nacid: { substance: sulfuric acid')).toEqual(['acid: sulfuric acid'])
    expect(names('')).toEqual([])
  })
  it('are looked for in hostile text without getting lost in it', () => {
    const spaces = `bottles:\n  a${' '.repeat(300_000)}b\n`
    const many = `bottles:\n${Array.from({ length: 20_000 }, (_, i) => `  b${i}: { substance: s${i} }`).join('\n')}`
    const quotes = `bottles:\n${'"'.repeat(200_000)}\n${"{substance'".repeat(20_000)}`
    expect(writtenBottles(spaces, isKnown)).toEqual([])
    expect(writtenBottles(many, isKnown)).toHaveLength(200)
    expect(writtenBottles(quotes, isKnown)).toEqual([])
  })
})
