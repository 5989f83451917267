import { describe, expect, it } from 'vitest'
import fc from 'fast-check'
import { rows } from '@beakertide/data'
import { createEye } from './eye.ts'
import { type Lab, labFromXyz } from './lab.ts'
import { type ColourWord, colourName, colourWords } from './names.ts'
import { readObserver } from './observer.ts'
import { labFromHex } from './screen.ts'

describe('colourName', () => {
  // Values of the named colours of CSS Color 4 (memory); the words are ours, beside the standard's keyword.
  it.each<[string, string, ColourWord]>([
    ['white', '#ffffff', 'colourless'],
    ['black', '#000000', 'black'],
    ['gray', '#808080', 'grey'],
    ['lightgray', '#d3d3d3', 'pale grey'],
    ['red', '#ff0000', 'red'],
    ['darkred', '#8b0000', 'dark red'],
    ['orange', '#ffa500', 'amber'],
    ['darkorange', '#ff8c00', 'orange'],
    ['peru', '#cd853f', 'brown'],
    ['goldenrod', '#daa520', 'amber'],
    ['saddlebrown', '#8b4513', 'brown'],
    ['yellow', '#ffff00', 'yellow'],
    ['lightyellow', '#ffffe0', 'pale yellow'],
    ['lemonchiffon', '#fffacd', 'pale yellow'],
    ['green', '#008000', 'green'],
    ['lime', '#00ff00', 'green'],
    ['darkgreen', '#006400', 'dark green'],
    ['blue', '#0000ff', 'blue'],
    ['lightblue', '#add8e6', 'pale blue'],
    ['darkblue', '#00008b', 'dark blue'],
    ['navy', '#000080', 'dark blue'],
    ['violet', '#ee82ee', 'violet'],
    ['purple', '#800080', 'dark violet'],
    ['darkviolet', '#9400d3', 'violet'],
    ['pink', '#ffc0cb', 'pink'],
    ['lavenderblush', '#fff0f5', 'pale pink'],
    ['darkturquoise', '#00ced1', 'blue-green'],
  ])('%s %s is called %s', (_, hex, word) => expect(colourName(labFromHex(hex))).toBe(word))

  // What the trade calls these liquids (common practice, no source), seen through 1 cm in daylight with the spectra of data/tables.
  it.each<[string, number, readonly ColourWord[]]>([
    ['I2(aq)', 1e-5, ['colourless']],
    ['I2(aq)', 3e-4, ['pale yellow']],
    ['I2(aq)', 1.3e-3, ['amber']],
    ['I3-', 1e-3, ['yellow', 'amber']],
    ['I3-', 0.03, ['brown', 'red']],
    ['starch-triiodide (soluble starch)', 5e-6, ['pale blue']],
    ['starch-triiodide (soluble starch)', 3e-5, ['blue']],
    ['starch-triiodide (soluble starch)', 1.2e-4, ['dark blue']],
    ['starch-triiodide (soluble starch)', 4e-4, ['blue-black']],
    ['MnO4-', 1e-5, ['colourless']],
    ['MnO4-', 1e-4, ['pink']],
    ['MnO4-', 1e-3, ['violet']],
    ['MnO4-', 0.008, ['dark violet']],
    ['MnO2 colloid', 1e-4, ['brown']],
    ['MnO2 colloid', 3e-4, ['brown']],
    ['Ce(IV) sulfate', 0.005, ['pale yellow']],
    ['ferroin Fe(phen)3 2+', 2e-3, ['red']],
    ['ferriin Fe(phen)3 3+', 1.5e-3, ['blue']],
    ['methylene blue MB+ monomer', 3e-5, ['blue']],
    ['Cu2+ aqua ion', 0.1, ['pale blue']],
    ['Ni2+ aqua ion', 0.8, ['green']],
    ['Co2+ aqua ion', 0.1, ['pink']],
    ['phenolphthalein (pink dianion)', 1e-5, ['pink']],
  ])('%s at %f mol/L', (absorber, concentration, words) => {
    const observer = readObserver(rows('tables/cie1931_2deg'))
    const epsilon = rows('tables/absorbers_spectra').filter((row) => row.absorber === absorber)
    expect(epsilon).toHaveLength(81)
    const out = new Float64Array(3)
    createEye(observer, 'd65', 1).see(
      Float64Array.from(epsilon, (row) => 10 ** (-concentration * Number(row.molar_absorptivity_l_per_mol_cm))),
      out,
    )
    expect(words).toContain(colourName(labFromXyz([out[0]!, out[1]!, out[2]!])))
  })

  it('has a word of the list for every colour there can be, the same each time', () => {
    const component = fc.double({ min: -150, max: 150, noNaN: true })
    fc.assert(
      fc.property(fc.double({ min: 0, max: 100, noNaN: true }), component, component, (l, a, b) => {
        const lab: Lab = [l, a, b]
        expect(colourWords).toContain(colourName(lab))
        expect(colourName(lab)).toBe(colourName([l, a, b]))
      }),
    )
  })
  it('goes through each word once, and through few, as a dye grows from nothing to black', () => {
    for (const hue of [20, 75, 130, 200, 260, 330]) {
      const words: string[] = []
      for (let depth = 0; depth <= 1; depth += 0.001) {
        const chroma = 80 * Math.sin(Math.PI * Math.min(1, depth))
        const lab: Lab = [100 * (1 - depth), chroma * Math.cos((hue * Math.PI) / 180), chroma * Math.sin((hue * Math.PI) / 180)]
        const word = colourName(lab)
        if (words.at(-1) !== word) words.push(word)
      }
      // No word comes back once left: that would be a flicker.
      expect(new Set(words).size, words.join(', ')).toBe(words.length)
      expect(words.length).toBeLessThanOrEqual(7)
    }
  })
})
