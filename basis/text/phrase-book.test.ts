import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type PhraseBook, phraseBook } from './phrase-book.ts'
import { readPhrases } from './phrase-file.ts'

const bookOf = (lines: readonly string[], decimalSign: ',' | '.' = ','): PhraseBook => {
  const read = readPhrases(['english\tother', ...lines].join('\n'), 'test.tsv')
  if (!read.ok) throw new Error(read.problems.map((p) => p.what).join('; '))
  return phraseBook(read.value, { decimalSign })
}

describe('a phrase book', () => {
  const book = bookOf([
    '# a remark',
    '',
    'Acid into water.\tSäure ins Wasser.',
    'vessel "{1}"\tGefäß „{1}“',
    'solution "{1}"\tLösung „{1}“',
    'iodine\tIod',
    'starch\tStärke',
    'blue\tblau',
    'and\tund',
    'it stays {1}\tes bleibt {1}',
    'warms by up to {1:n}\terwärmt sich um bis zu {1:n}',
    '{1:p} is poured into {2:p}\tin {2:p} wird {1:p} gegossen',
    '{1:p} is poured into {2:p} too fast\tzu schnell wird in {2:p} {1:p} gegossen',
    'Cues: {1:o}\tStichworte: {1:o}',
    'take {1:n} of {2:p}\tvon {2:p} {1:n} nehmen',
    'refused: {1:p}\tabgelehnt: {1:p}',
  ])
  it('tells a whole sentence, also without its stop and with a large first letter', () => {
    expect(book.tell('Acid into water.')).toBe('Säure ins Wasser.')
    expect(book.tell('Acid into water')).toBe('Säure ins Wasser')
    expect(book.tell('It stays blue.')).toBe('Es bleibt blau.')
  })
  it('leaves names in quotation marks alone, even when the book knows the word', () => {
    expect(book.tell('vessel "iodine"')).toBe('Gefäß „iodine“')
    expect(book.tell('vessel "a: b, c. Acid into water."')).toBe('Gefäß „a: b, c. Acid into water.“')
  })
  it('leaves a name of the user’s own alone', () => {
    expect(book.tell('Cues: iodine')).toBe('Stichworte: iodine')
    expect(book.tell('Cues: Tide. A second title')).toBe('Stichworte: Tide. A second title')
  })
  it('puts holes in the order of the other language', () => {
    expect(book.tell('iodine is poured into vessel "jar"')).toBe('in Gefäß „jar“ wird Iod gegossen')
  })
  it('takes the template with the longest literals, whatever the order in the file', () => {
    expect(book.tell('iodine is poured into vessel "jar" too fast')).toBe('zu schnell wird in Gefäß „jar“ Iod gegossen')
  })
  it('tells lists item by item', () => {
    expect(book.tell('take 5 mL of iodine, starch and solution "B"')).toBe('von Iod, Stärke und Lösung „B“ 5 mL nehmen')
  })
  it('keeps what it does not know of a phrase, and counts it', () => {
    const own = bookOf(['take {1:n} of {2:p}\tvon {2:p} {1:n} nehmen', 'iodine\tIod', 'and\tund'])
    expect(own.tell('take 5 mL of iodine and washing soda')).toBe('von Iod und washing soda 5 mL nehmen')
    expect(own.tell('nothing of this')).toBe('nothing of this')
    own.tell('nothing of this')
    expect(own.untold()).toEqual([
      { text: 'nothing of this', count: 2 },
      { text: 'washing soda', count: 1 },
    ])
    expect(own.knows('take 5 mL of iodine')).toBe(true)
    expect(own.knows('nothing of this')).toBe(false)
  })
  it('tells several sentences one by one', () => {
    expect(book.tell('Acid into water. It stays blue. Nothing known.')).toBe('Säure ins Wasser. Es bleibt blau. Nothing known.')
  })
  it('does not let a hole swallow a second sentence', () => {
    expect(book.tell('refused: iodine. Acid into water.')).toBe('abgelehnt: Iod. Säure ins Wasser.')
  })
  it('tells a name with its amount', () => {
    expect(book.tell('iodine 0.1800 ± 0.0012 mol/L')).toBe('Iod 0,1800 ± 0,0012 mol/L')
    expect(book.knows('soot 0.2 g')).toBe(false)
  })
  it('takes for one item what it knows as one, though it holds what joins items', () => {
    const own = bookOf([
      'malonic and other acids, as malonic acid\tMalonsäure und andere Säuren, als Malonsäure',
      'iodine\tIod',
      'and\tund',
    ])
    expect(own.tell('iodine 2 g, malonic and other acids, as malonic acid 1.5 g')).toBe(
      'Iod 2 g, Malonsäure und andere Säuren, als Malonsäure 1,5 g',
    )
  })
  it('leaves a sentence English that only a template of few letters would half tell', () => {
    const own = bookOf(['{1:p} {2:n} to {3:n} {4:p}\t{1:p} {2:n} bis {3:n} {4:p}', 'acid\tSäure'])
    expect(own.tell('it lasts 3 to 4 min at most')).toBe('it lasts 3 to 4 min at most')
    expect(own.tell('acid 3 to 4 min')).toBe('Säure 3 bis 4 min')
  })
  it('tells colours that turn into one another, and leaves equations', () => {
    const own = bookOf(['colourless\tfarblos', 'blue\tblau'])
    expect(own.tell('colourless → blue')).toBe('farblos → blau')
    expect(own.tell('BrO3- + 4 ferroin + 5 H+ -> HOBr + 4 ferriin + 2 H2O')).toBe('BrO3- + 4 ferroin + 5 H+ -> HOBr + 4 ferriin + 2 H2O')
    expect(own.knows('IMA ⇌ IMAenol')).toBe(true)
    expect(own.knows('pale green → blue')).toBe(false)
  })
  it('keeps brackets whole', () => {
    const own = bookOf(['bottle "{1}" ({2:p})\tFlasche „{1}“ ({2:p})', 'acid\tSäure', 'iodine\tIod', 'with\tmit'])
    expect(own.tell('bottle "a" (acid) with bottle "b" (iodine)')).toBe('Flasche „a“ (Säure) mit Flasche „b“ (Iod)')
  })
  it('does not end a sentence at an abbreviation', () => {
    const own = bookOf(['Acute Tox. 3 and Flam. Liq. 2\tAkut Tox. 3 und Entz. Fl. 2'])
    expect(own.tell('Acute Tox. 3 and Flam. Liq. 2')).toBe('Akut Tox. 3 und Entz. Fl. 2')
  })
  it('writes numbers with the sign of the place', () => {
    expect(book.tell('warms by up to 91.5 K')).toBe('erwärmt sich um bis zu 91,5 K')
    expect(book.tell('take 12345.6 mL of starch')).toBe('von Stärke 12\u202f345,6 mL nehmen')
    // One rule for every number, in a hole of its own or in a phrase.
    expect(book.tell('12345 g')).toBe('12\u202f345 g')
    expect(book.tell('12345.25 ± 1234567 g')).toBe('12\u202f345,25 ± 1\u202f234\u202f567 g')
    for (const code of ['10034-85-2', '12345-67890', '2026/12345', '0,123456']) expect(book.tell(code)).toBe(code)
    expect(book.tell('1234.56789 g')).toBe('1234,56789 g')
    expect(book.tell('0.190 ± 0.002 mol/L')).toBe('0,190 ± 0,002 mol/L')
    expect(book.tell('1.2.3')).toBe('1.2.3')
    const swiss = bookOf(['below 0.5 %\tunter 0,5 %', 'warms by {1:n}\tum {1:n} wärmer'], '.')
    expect(swiss.tell('below 0.5 %')).toBe('unter 0.5 %')
    expect(swiss.tell('warms by 91.5 K')).toBe('um 91.5 K wärmer')
  })
  it('takes no word for a number', () => {
    expect(book.tell('warms by up to nothing')).toBe('warms by up to nothing')
  })
  it('knows formulas and quantities for what needs no language', () => {
    for (const text of ['H2SO4', '12.5 g', '–', '3.1 → 4', 'KIO3 0.19 mol/L', 'SO₄²⁻']) expect(book.knows(text), text).toBe(true)
    for (const text of ['water', 'Note', 'the']) expect(book.knows(text), text).toBe(false)
  })
  it('tells nothing of a text, and never throws, whatever the text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), (text) => {
        expect(typeof book.tell(text)).toBe('string')
        expect(book.tell(`vessel "${text.replaceAll('"', '')}x"`)).toBe(`Gefäß „${text.replaceAll('"', '')}x“`)
      }),
    )
  })
  it('gives the same whatever was asked before', () => {
    const lines = ['a {1:p}\tA {1:p}', 'x\tX', 'y: {1:p}\tY: {1:p}', 'and\tund']
    const texts = ['y: y: y: y: y: y: y: y: y: y: a x', 'a x', 'y: a x', 'a x and a x; y: x, a x', 'y: y: y: y: y: y: y: a x and x']
    const one = bookOf(lines)
    const forth = texts.map((text) => one.tell(text))
    const other = bookOf(lines)
    expect(
      [...texts]
        .reverse()
        .map((text) => other.tell(text))
        .reverse(),
    ).toEqual(forth)
    expect(one.tell('a x')).toBe('A X')
  })
  it('gives the same twice, with memory and without', () => {
    const other = bookOf(['a {1:p} b {2:p}\tB {2:p} A {1:p}', 'x\tX'])
    const first = other.tell('a x b x')
    expect(other.tell('a x b x')).toBe(first)
    expect(first).toBe('B X A X')
  })
  it('answers at once on texts made to be slow', () => {
    const nested = bookOf(['{1:p} a {2:p} b {3:p} c {4:p}\t{4:p}{3:p}{2:p}{1:p}', '{1:p}: {2:p}\t{1:p}: {2:p}', 'and\tund'])
    // Exponential or cubic work would not end within the time a test has.
    for (const text of [
      ' a b c'.repeat(900),
      'x: '.repeat(1900),
      'x and '.repeat(900),
      '('.repeat(5000),
      '"'.repeat(5001),
      'x, '.repeat(1900),
    ]) {
      expect(typeof nested.tell(text)).toBe('string')
    }
    const long = 'Acid into water. '.repeat(100_000)
    expect(book.tell(long)).toBe(long)
  })
})

describe('the file of phrases', () => {
  const faults = (lines: readonly string[]): readonly string[] => {
    const read = readPhrases(lines.join('\n'), 'x.tsv')
    return read.ok ? [] : read.problems.map((p) => `${p.span?.line}: ${p.what}`)
  }
  it.each([
    [['word\tother'], '1: the first line is'],
    [['english\tde', 'only English'], '2: a side is empty'],
    [['english\tde', 'a {1}\tb'], '2: hole {1} stands on one side only'],
    [['english\tde', 'a {1}{2}\tb {1} {2}'], '2: two holes stand side by side'],
    [['english\tde', 'a {1} {1}\tb {1}'], '2: a hole stands twice'],
    [['english\tde', '{1}\tb {1}'], '2: nothing stands beside the hole'],
    [['english\tde', 'a {x}\tb {x}'], '2: "a {x}" holds a brace'],
    [['english\tde', 'a\tb', '', 'a\tc'], '4: "a" stands in line 2 already'],
    [['english\tde', 'a\tb\tc'], '2: there are more than two columns'],
    [['english\tde', ' a\tb'], '2: a side begins or ends with a space'],
  ])('tells what is wrong in %j', (lines, what) => {
    expect(faults(lines)[0]).toContain(what)
  })
  it('takes remarks, empty lines and line ends of both kinds', () => {
    expect(faults(['english\tde', '# x', '', 'a {1:n} b\tB {1:n} A\r'])).toEqual([])
  })
})
