import { facts } from '@beakertide/data'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { plainNumber } from './found-amounts.ts'
import { readFoundText } from './found-text.ts'

const matter = facts.matter()
const brief = (text: string) =>
  readFoundText(text, matter).solutions.map((s) => ({
    name: s.name,
    volume: `${s.filled} ${s.volume}`.trim(),
    parts: s.parts.map((p) =>
      [p.amount, p.substance?.name ?? `?${p.name}`, p.strength, p.asks.join('+')].filter((x) => x !== '').join(' | '),
    ),
  }))

describe('a recipe in free words', () => {
  it('is read line by line, and asks what the words leave open', () => {
    expect(brief('4.3 g potassium iodate in 140 mL water; 100 mL hydrogen peroxide 10 %')).toEqual([
      { name: 'A', volume: 'in 140 mL', parts: ['4.3 g | potassium iodate'] },
      { name: 'B', volume: 'liquids 100 mL', parts: ['100 mL | hydrogen peroxide | 10 | percent'] },
    ])
  })
  it('knows headings, several things in one solution, hydrates that must be asked for', () => {
    const found = readFoundText(
      'Solution A: 43 g KIO3 and 4.5 mL conc. sulfuric acid, made up to 1 L\nSolution B:\n15.6 g malonic acid\n3,4 g manganese(II) sulfate\n4 g starch\nwater to 1 L\nSolution C: 400 mL of 30 % (w/w) hydrogen peroxide, water to 1 L\nMix 300 mL of A with 300 mL of B and 250 mL of C.',
      matter,
    )
    expect(found.solutions.map((s) => [s.name, s.filled, s.volume, s.poured])).toEqual([
      ['A', 'to', '1 L', '300 mL'],
      ['B', 'to', '1 L', '300 mL'],
      ['C', 'to', '1 L', '250 mL'],
    ])
    const [a, b, c] = found.solutions
    expect(a!.parts.map((p) => p.asks)).toEqual([[], ['strength']])
    expect(a!.parts[1]!.notes).toEqual(['conc.'])
    expect(b!.parts[1]).toMatchObject({ amount: '3.4 g', asks: ['hydrate'] })
    expect(b!.parts[1]!.hydrates.length).toBeGreaterThan(1)
    expect(c!.parts[0]).toMatchObject({ text: '400 mL of 30 % (w/w) hydrogen peroxide', strength: '30 % w/w', asks: [] })
    expect(found.unread).toEqual([])
  })
  it('takes the words before a colon for the name of a solution', () => {
    const text =
      'Clear water: 1.07 g potassium iodate in 250 mL water\nSour water: 0.5 g sodium metabisulfite in 250 mL water\nThe mirror:\n1 g starch\nwater to 100 mL\nPour 100 mL of clear water into 80 mL of sour water and 10 mL of the mirror.'
    const found = readFoundText(text, matter)
    expect(found.solutions.map((s) => [s.name, s.filled, s.volume, s.poured])).toEqual([
      ['Clear water', 'in', '250 mL', '100 mL'],
      ['Sour water', 'in', '250 mL', '80 mL'],
      ['The mirror', 'to', '100 mL', '10 mL'],
    ])
    expect(found.solutions.map((s) => s.parts.map((p) => p.substance?.name))).toEqual([
      ['potassium iodate'],
      ['sodium metabisulfite'],
      ['starch (soluble)'],
    ])
    expect(brief('Klares Wasser: 1,07 g Kaliumiodat in 250 ml Wasser')[0]).toEqual({
      name: 'Klares Wasser',
      volume: 'in 250 mL',
      parts: ['1.07 g | potassium iodate'],
    })
  })
  it.each([
    // A substance, an instruction, water, an amount: no names of solutions.
    ['Potassium iodate: 4.3 g in 100 mL water', ['4.3 g | potassium iodate']],
    ['Potasium iodate: 4.3 g in 100 mL water', ['4.3 g | ?Potasium iodate | substance']],
    ['Mangan(II)-sulfat: 4.3 g in 100 mL water', ['4.3 g | manganese(II) sulfate | hydrate']],
    ['Dissolve: 4.3 g potassium iodate in 100 mL water', undefined],
    ['Ingredients: 4.3 g potassium iodate in 100 mL water', undefined],
    ['Distilled water: 100 mL', undefined],
    ['To 100 mL water add: 4.3 g potassium iodate', undefined],
  ])('%s: no name', (text, parts) => {
    const [one, ...others] = brief(text)
    expect(one?.name).toBe('A')
    expect(others).toEqual([])
    if (parts) expect(one?.parts).toEqual(parts)
  })
  it.each([
    ['potassium iodate 4.3 g, malonic acid 1.5 g in 60 mL water', ['4.3 g | potassium iodate', '1.5 g | malonic acid'], 'in 60 mL'],
    ['20 mL of 2.5 mol/L sulfuric acid in 200 mL distilled water', ['20 mL | sulfuric acid | 2.5 mol/L'], 'in 200 mL'],
    ['2 g KI in 100 ml dest. Wasser', ['2 g | potassium iodide'], 'in 100 mL'],
    ['0,25 g starch auf 250 mL auffüllen', ['0.25 g | starch (soluble)'], 'to 250 mL'],
    ['hydrogen peroxide (6 % w/v) 50 mL', ['50 mL | hydrogen peroxide | 6 % w/v'], 'liquids 50 mL'],
    ['100 mL 20 vol hydrogen peroxide', ['100 mL | hydrogen peroxide | 20 volumes'], 'liquids 100 mL'],
  ])('%s', (text, parts, volume) => {
    const [one] = brief(text)
    expect(one).toEqual({ name: 'A', volume, parts })
  })
  it.each([
    ['4,3 g Kaliumiodat werden in 250 ml Wasser gelöst.', 'in 250 mL', ['4.3 g | potassium iodate']],
    [
      'Man löst 1,56 g Malonsäure und 0,34 g Mangan(II)-sulfat-Monohydrat in 100 ml destilliertem Wasser.',
      'in 100 mL',
      ['1.56 g | malonic acid', '0.34 g | manganese(II) sulfate'],
    ],
    [
      'In 250 ml Wasser werden 5 g Kaliumjodid gelöst, dazu 3 Tropfen Salzsäure.',
      'in 250 mL',
      ['5 g | potassium iodide', ' | hydrochloric acid | amount+strength'],
    ],
    ['2,5 g Natriumthiosulfat-Pentahydrat in einem Liter Wasser', 'in 1 L', ['2.5 g | sodium thiosulfate']],
    // No name alone decides the water of a salt, in German no more than in English.
    ['5 g Natriumthiosulfat in 100 ml Wasser', 'in 100 mL', ['5 g | sodium thiosulfate | hydrate']],
    ['5 g wasserfreies Natriumsulfit in 100 mL Wasser', 'in 100 mL', ['5 g | sodium sulfite (anhydrous)']],
    ['50 ml einer 0,2-molaren Zitronensäure', 'liquids 50 mL', ['50 mL | citric acid | 0.2 mol/L | hydrate']],
    ['400 ml 30%iges Wasserstoffperoxid, mit Wasser zu 1 L ergänzen', 'to 1 L', ['400 mL | hydrogen peroxide | 30 | percent']],
    [
      '1,2 g Kaliumjodat, 0,5 g Natron in 60 ml heißem Wasser lösen',
      'in 60 mL',
      ['1.2 g | potassium iodate', '0.5 g | sodium hydrogencarbonate'],
    ],
    ['20 ml 0,5 M Salzsäure mit 80 ml Wasser verdünnt', 'in 80 mL', ['20 mL | hydrochloric acid | 0.5 mol/L']],
    ['Mische 20 ml 1 M Schwefelsäure mit 80 ml Wasser.', 'in 80 mL', ['20 mL | sulfuric acid | 1 mol/L']],
    ['eine Messerspitze lösliche Stärke', 'unknown', [' | starch (soluble) | amount']],
  ] as const)('in German: %s', (text, volume, parts) => {
    const [one] = brief(text)
    expect(one).toEqual({ name: 'A', volume, parts: parts.map((p) => p.replace(/^ \| /, '')) })
  })
  it('in German: solutions with headings, filled up and poured together', () => {
    const found = readFoundText(
      'Lösung A: 43 g Kaliumiodat und 4,5 ml konz. Schwefelsäure, mit Wasser auf 1 Liter aufgefüllt\nLösung B: 15,6 g Malonsäure, 3,4 g Mangansulfat, 4 g lösliche Stärke; dann auf 1 l auffüllen.\nMan gießt 300 ml von Lösung A zu 250 ml der Lösung B.',
      matter,
    )
    expect(found.solutions.map((s) => [s.name, s.filled, s.volume, s.poured])).toEqual([
      ['A', 'to', '1 L', '300 mL'],
      ['B', 'to', '1 L', '250 mL'],
    ])
    expect(found.solutions[1]!.parts.map((p) => [p.substance?.name, p.asks.join()])).toEqual([
      ['malonic acid', ''],
      ['manganese(II) sulfate', 'hydrate'],
      ['starch (soluble)', ''],
    ])
    expect(found.solutions[0]!.parts[1]!.notes).toEqual(['konz.'])
    expect(found.unread).toEqual([])
  })
  it.each([
    ['20 ml von A werden mit 3 g Kaliumchlorat gemischt.', ['20 ml von A werden: ?', '3 g Kaliumchlorat gemischt.: potassium chlorate']],
    [
      'Mix 20 mL of A with 30 mL of 10 % w/w hydrogen peroxide.',
      ['20 mL of A: ?', '30 mL of 10 % w/w hydrogen peroxide.: hydrogen peroxide'],
    ],
    ['20 ml A mit 80 ml Wasser vermischt', ['20 ml A: ?']],
  ])('%s: a mixture of its own, of which nothing is lost', (line, parts) => {
    const text = `Solution A: 4 g potassium iodate in 100 mL water\nSolution B: 1 g malonic acid in 100 mL water\n${line}`
    const [a, b, c] = readFoundText(text, matter).solutions
    expect([a!.poured, b!.poured, b!.parts.length]).toEqual(['', '', 1])
    expect(c!.name).toBe('C')
    expect(c!.parts.map((p) => `${p.text}: ${p.substance?.name ?? '?'}`)).toEqual(parts)
    expect(c!.parts[0]!.asks).toContain('substance')
  })
  it('in German: a line that ends like a pour and names no solution makes one', () => {
    const text = 'Lösung A: 4 g Kaliumiodat in 100 ml Wasser\nLösung B: 20 ml 1 M Schwefelsäure werden mit 80 ml Wasser gemischt.'
    expect(brief(text)[1]).toEqual({ name: 'B', volume: 'in 80 mL', parts: ['20 mL | sulfuric acid | 1 mol/L'] })
    expect(readFoundText(`${text}\n50 ml A und 50 ml B werden gemischt.`, matter).solutions.map((s) => s.poured)).toEqual([
      '50 mL',
      '50 mL',
    ])
  })
  it.each([
    ['Brennspiritus', ['ethanol']],
    ['Spiritus', ['ethanol']],
    ['Kalk', ['calcium carbonate', 'calcium hydroxide']],
  ])('%s is no pure substance: it is asked for', (name, offered) => {
    const [part] = readFoundText(`50 g ${name} in 100 ml Wasser`, matter).solutions[0]!.parts
    expect(part).toMatchObject({ substance: null, suggestions: offered })
    expect(part!.asks).toContain('substance')
  })
  it('offers the nearest German name', () => {
    const [part] = readFoundText('3 g Kaliumpermaganat in 50 ml Wasser', matter).solutions[0]!.parts
    expect(part!.asks).toEqual(['substance'])
    expect(part!.suggestions).toContain('potassium permanganate')
  })
  it('asks for what is no measure, is not known, or can be read in two ways', () => {
    const parts = (text: string) => readFoundText(text, matter).solutions.flatMap((s) => s.parts)
    expect(parts('a few drops of hydrochloric acid')[0]?.asks).toEqual(['amount', 'strength'])
    expect(parts('5 drops hydrochloric acid')[0]?.asks).toContain('amount')
    expect(parts('5 g unobtainium')[0]?.asks).toContain('substance')
    expect(parts('1,250 g potassium iodide')[0]?.asks).toContain('amount')
    expect(parts('5 g potasium iodate')[0]?.suggestions).toContain('potassium iodate')
  })
  it('tells what it did not read, and is bounded', () => {
    expect(readFoundText('Stir well.\nServe cold.', matter)).toMatchObject({ solutions: [], unread: ['Stir well.', 'Serve cold.'] })
    const long = readFoundText('9 '.repeat(40_000), matter)
    expect(long.unread[0]).toContain('more characters')
  })
  it('never fails and never invents an amount', () => {
    const words = fc.constantFrom(
      '4.3 g',
      '10 %',
      'potassium iodate',
      'in',
      '140 mL',
      'water',
      ';',
      '\n',
      'Solution A:',
      '(',
      ')',
      'conc.',
      'and',
      ',',
      'Mix',
      'of',
      '2 M',
      '%',
      '½ L',
    )
    fc.assert(
      fc.property(fc.array(words, { maxLength: 20 }), (list) => {
        const text = list.join(' ')
        for (const s of readFoundText(text, matter).solutions)
          for (const p of s.parts) expect(p.amount === '' || text.includes(p.amount.replace(/ mol\/L$/, ''))).toBe(true)
      }),
      { numRuns: 300 },
    )
  })
  it('reads numbers without guessing', () => {
    expect(['4.3', '0,25', '1,250', '1,250.5', '1.250,5', '1.250', '12.', 'x'].map(plainNumber)).toEqual([
      '4.3',
      '0.25',
      '',
      '1250.5',
      '1250.5',
      '1.250',
      '12',
      '',
    ])
  })
})
