import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { VERSION } from './imprint.ts'
import { textWidth } from './terminal/text-layout.ts'
import { readExchange } from '@beakertide/core/mechanism'
import { call, right, wrong } from './testing/fake-door.ts'

const ESCAPE = '\u001b'
/** Characters that steer a terminal; a line break is none. */
const STEERING = /(?!\n)[\p{Cc}\u202a-\u202e\u2066-\u2069]/u
const short = (name: string): readonly string[] => [right(name), '--band', '0']

describe('every verb', () => {
  const verbs: readonly (readonly [string, readonly string[]])[] = ['tide-in-a-jar', 'sudden-night'].flatMap((name) => [
    ['day', short(name)],
    ['check', [right(name)]],
    ['weigh', [right(name)]],
    ['rehearse', short(name)],
    ['reasons', [right(name), '--answers-to', 'nothing']],
    ['clear', [right(name)]],
    ['sheet', short(name)],
    ['sources', [right(name)]],
  ])
  it.each([...verbs, ['compare-recipes', [right('tide-in-a-jar')]]] as const)(
    '%s %j: danger first, no escape codes, no line too long',
    async (verb, args) => {
      const { out, err, code } = await call([verb, ...args], { columns: 80 })
      expect(err).toBe('')
      expect(code).toBe(0)
      const lines = out.split('\n')
      expect(lines.findIndex((l) => l.startsWith('!! DANGER FIRST'))).toBeLessThan(4)
      expect(out).not.toContain(ESCAPE)
      expect(out).toContain('Only a trained, authorised person does this')
      expect(out).not.toMatch(/undefined|\[object|NaN/)
      for (const l of lines) expect(textWidth(l), l).toBeLessThanOrEqual(80)
    },
  )

  it.each([[[]], [['iodate-bisulfite']]])('mechanisms %j', async (args) => {
    const { out, code } = await call(['mechanisms', ...args])
    expect(code).toBe(0)
    expect(out).toContain('A model is no permission')
  })
  it('mechanisms --sbml writes a file of the open standard that our own reader takes back whole', async () => {
    const { out, code, written } = await call(['mechanisms', 'iodate-bisulfite', '--sbml', 'steps.xml'])
    expect(code).toBe(0)
    expect(out).toContain('Wrote steps.xml.')
    const back = readExchange(written.get('steps.xml')!, 'steps.xml')
    if (!back.ok) throw new Error(back.problems.map((p) => p.what).join('; '))
    // Seven steps, four of them reversible and written as one reaction each.
    expect(back.value.reactions.length).toBe(7)
    expect(back.value.species.map((x) => x.name)).toContain('IO3-')
  })
  it('mechanisms --sbml without a name is wrong use', async () => {
    const { err, code } = await call(['mechanisms', '--sbml', 'steps.xml'])
    expect(code).toBe(2)
    expect(err).toContain('desk/which-mechanism')
  })

  it('the full cautions stand once in an answer of two papers', async () => {
    const { out } = await call(['weigh', right('tide-in-a-jar')])
    expect(out.match(/Only a trained, authorised person/g)).toHaveLength(1)
    expect(out.match(/!! DANGER FIRST/g)).toHaveLength(2)
    expect(out).toContain('All cautions stand in full at the head of this answer.')
  })

  it('the day says last where the page is, and the page holds all ten papers, each with its dangers first', async () => {
    const { out, written } = await call(['day', ...short('tide-in-a-jar')])
    expect(out.trimEnd().split('\n\n').at(-1)).toMatch(/^Wrote tide-in-a-jar\.html/)
    for (const head of ['Go or no-go', 'Make-up', 'Rehearsal', 'Clearing']) expect(out).toContain(`\n${head}\n`)
    const html = written.get('tide-in-a-jar.html')!
    const papers = html.split('<section class="paper ').slice(1)
    expect(papers).toHaveLength(10)
    for (const p of papers) expect(p.replace(/^[^]*?<\/h1>/, '')).toMatch(/^<aside class="danger"/)
    expect(html).toContain(`tide-in-a-jar.yaml · Beakertide ${VERSION} · written 2025-01-01 12:00`)
  })

  it('the version is that of the package', () => {
    const own = JSON.parse(readFileSync(new URL('./package.json', import.meta.url), 'utf8')) as { version: string }
    expect(VERSION).toBe(own.version)
  })
})

describe('colour', () => {
  it('is written to a terminal, and not when NO_COLOR, TERM=dumb or --plain says so', async () => {
    const args = ['rehearse', ...short('sudden-night')]
    expect((await call(args, { terminal: true })).out).toContain(`${ESCAPE}[48;2;`)
    expect((await call(args, { terminal: true, env: { NO_COLOR: '1' } })).out).not.toContain(ESCAPE)
    expect((await call(args, { terminal: true, env: { TERM: 'dumb' } })).out).not.toContain(ESCAPE)
    expect((await call([...args, '--plain'], { terminal: true })).out).not.toContain(ESCAPE)
  })
  it('leaves no colour switched on at the end of a line', async () => {
    const { out } = await call(['rehearse', ...short('sudden-night')], { terminal: true })
    for (const line of out.split('\n')) if (line.includes(ESCAPE)) expect(line.slice(line.lastIndexOf(ESCAPE))).toMatch(/^.\[0m/)
  })
})

describe('used wrongly: exit code 2, one sentence, a next step', () => {
  it.each([
    ['an unknown command', ['chek', 'x'], /no command "chek"; did you mean "check"\?/],
    ['nothing like a command', ['frobnicate'], /known here: day, check/],
    ['no file', ['check'], /file is missing: give its path/],
    ['two files', ['check', right('sudden-night'), 'b'], /one argument too many/],
    ['a file that is not there', ['check', 'nowhere.yaml'], /there is no such file[^]*give the path/],
    ['a folder', ['check', right('').replace(/[^/]*$/, '')], /it is a folder/],
    ['a bad number', ['rehearse', right('sudden-night'), '--band', 'many'], /"many" is not a whole number from 0 to 100000/],
    ['a number without its value', ['rehearse', right('sudden-night'), '--band'], /--band needs a value/],
    ['an unknown flag', ['rehearse', right('sudden-night'), '--bnd', '3'], /no flag "--bnd"; did you mean "--band"\?/],
    [
      'a word that is none of the choices',
      ['clear', right('sudden-night'), '--reductant', 'sulfit'],
      /none of: .*did you mean "sulfite"\?/,
    ],
    ['a band without a stop', ['clear', right('sudden-night'), '--band', '3', '--seed', '1'], /--band and --seed would do nothing/],
    ['threads without a stop', ['clear', right('sudden-night'), '--threads', '0'], /--threads would do nothing[^]*give --stopped-at/],
    ['an unknown vessel of a stop', ['clear', right('sudden-night'), '--stopped-at', '9 s', '--vessel', 'pot'], /no vessel "pot"/],
    ['an unknown vessel', ['rehearse', right('sudden-night'), '--band', '0', '--vessel', 'pot'], /no vessel "pot"/],
    ['an unknown mechanism', ['check', right('sudden-night'), '--mechanism', 'none'], /desk\/no-such-mechanism/],
  ])('%s', async (_, args, said) => {
    const { out, err, code } = await call(args)
    expect(code).toBe(2)
    expect(out).toBe('')
    expect(err).toMatch(said)
    expect(err).not.toMatch(/at .*\.(js|ts):\d/)
  })
  it('a path that cannot be written to', async () => {
    const { err, code } = await call(['sheet', ...short('sudden-night'), '--out', 'nowhere/x.html'], { unwritable: true })
    expect(code).toBe(2)
    expect(err).toMatch(/cannot be written: there is no such folder[^]*another path/)
  })
  it('a file of 50 MB is not even read', async () => {
    const { err, code } = await call(['check', '/dev/null'])
    expect(code).toBe(2)
    expect(err).toMatch(/not a file/)
  })
  it('help and version are no problem', async () => {
    expect((await call(['--help'])).code ?? 0).toBe(0)
    expect((await call(['--version'])).out).toBe(`${VERSION}\n`)
  })
})

describe('problems found: exit code 1', () => {
  it('a refused plan shows no weighings, only the reason, on standard error', async () => {
    const { out, err, code } = await call(['weigh', wrong('bleach-and-acid')])
    expect(code).toBe(1)
    expect(out).toBe('')
    const [danger, refused] = [err.indexOf('!! DANGER FIRST'), err.indexOf('!! DANGER: this plan is refused.')]
    expect(danger).toBeGreaterThan(0)
    expect(refused).toBeGreaterThan(danger)
    expect(err).toMatch(/REFUSED\. vessel "jar": .*chlorine/)
    expect(err).not.toContain('not complete')
  })
  it('all problems of a document at once, under the cautions of what can be read', async () => {
    const { err, code } = await call(['check', wrong('many-at-once')])
    expect(code).toBe(1)
    expect(err).toMatch(/^7 problems in /m)
    expect(err.indexOf('!! DANGER FIRST')).toBeLessThan(err.indexOf('7 problems in '))
  })
  it.each(['check', 'day', 'sheet'])('%s: a vessel too small takes no caution away', async (verb) => {
    const text = readFileSync(right('tide-in-a-jar'), 'utf8').replace('holds: 2 L', 'holds: 300 mL')
    const files = { 'small.yaml': text }
    const { out, err, code, written } = await call([verb, 'small.yaml'], { files, columns: 80 })
    expect(code).toBe(1)
    expect(out).toBe('')
    expect(written.size).toBe(0)
    const places = ['These cautions are not complete', '!! DANGER FIRST', 'bottle "acid": sulfuric acid', 'document/vessel-overfilled']
    const at = places.map((place) => err.indexOf(place))
    expect(at.every((n) => n >= 0)).toBe(true)
    expect(at).toEqual([...at].sort((a, b) => a - b))
    for (const l of err.split('\n').slice(0, err.split('\n').indexOf('1 problem in small.yaml')))
      expect(textWidth(l), l).toBeLessThanOrEqual(80)
    const json = JSON.parse((await call([verb, 'small.yaml', '--json'], { files })).out) as {
      ok: boolean
      cautions: { incomplete: string; list: unknown[] }
    }
    expect(json.ok).toBe(false)
    expect(json.cautions.incomplete).toContain('not complete')
    expect(json.cautions.list.length).toBeGreaterThan(20)
  })
  it('a show that cannot come is a NO-GO', async () => {
    const text = readFileSync(right('sudden-night'), 'utf8')
    // No oxidant poured: only the first pour of the vessel is left.
    const alone = text.replace(/pours: \[([^,\]]+),[^\]]*\]/, 'pours: [$1]')
    expect(alone).not.toBe(text)
    const { out, code } = await call(['check', 'alone.yaml'], { files: { 'alone.yaml': alone } })
    expect(code).toBe(1)
    expect(out).toContain('NO-GO')
    expect(out).toContain('It cannot work')
  })
})

describe('papers in German', () => {
  it('say it in German with decimal commas, and keep names and check characters', async () => {
    const page = async (language: string): Promise<string> => {
      const { written, code } = await call(['sheet', ...short('sudden-night'), '--language', language])
      expect(code).toBe(0)
      return written.get('sudden-night.html')!
    }
    const [english, german] = [await page('en'), await page('de')]
    expect(german).toContain('<html lang="de">')
    expect(german).toContain('Gefahr zuerst')
    expect(german).not.toContain('Danger first')
    expect(german).toMatch(/\d,\d+ ± \d,\d+/)
    const codes = (html: string): string => /<p class="codes">.*?<b>(.*?)<\/b>/.exec(html)?.[1] ?? ''
    expect(codes(german)).toBe(codes(english))
    expect(codes(german).length).toBeGreaterThan(10)
    expect(english).toContain('<html lang="en">')
  })
  it('a language without a book is refused with those that there are', async () => {
    const { err, code } = await call(['sheet', 'x.yaml', '--language', 'dee'])
    expect(code).not.toBe(0)
    expect(err).toContain('"dee" is none of: en, de')
  })
})

describe('hostile documents', () => {
  const text = readFileSync(right('sudden-night'), 'utf8')
  const titled = (title: string): Readonly<Record<string, string>> => ({
    'h.yaml': text.replace(/^title:.*$/m, `title: ${JSON.stringify(title)}`),
  })

  it('markup in a title stays text in the page', async () => {
    const { written, code } = await call(['sheet', 'h.yaml', '--band', '0'], { files: titled('<script>alert(1)</script> & "q"') })
    expect(code).toBe(0)
    const html = written.get('h.html')!
    expect(html).not.toMatch(/<script/i)
    expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;q&quot;')
    expect(html).toContain("default-src 'none'")
  })
  it('escape sequences in a title never reach the terminal', async () => {
    for (const json of [[], ['--json']]) {
      const { out, err, code } = await call(['check', 'h.yaml', ...json], { files: titled('red \u001b[31m \u009b31m \u202e back') })
      expect(code).toBe(1)
      expect(out + err).not.toMatch(STEERING)
    }
  })
  it('nor do those in a path', async () => {
    const { err, code } = await call(['check', 'x\u001b[31m.yaml'])
    expect(code).toBe(2)
    expect(err).not.toContain(ESCAPE)
  })
  it('a reaction in another place is refused and nothing but the document is read', async () => {
    for (const place of ['../../etc/passwd', '/etc/passwd', './a/b.yaml', 'https://example.org/x.yaml']) {
      const { code, read } = await call(['check', 'h.yaml'], { files: { 'h.yaml': text.replace(/^reaction:.*$/m, `reaction: ${place}`) } })
      expect(code).toBe(1)
      expect(read).toEqual(['h.yaml'])
    }
  })
  it('a reaction beside the document is asked for by its bare name', async () => {
    const { err, code, read } = await call(['check', 'h.yaml'], {
      files: { 'h.yaml': text.replace(/^reaction:.*$/m, 'reaction: ./steps.yaml') },
    })
    expect(code).toBe(1)
    expect(err).toContain('desk/no-reaction-file')
    expect(read).toEqual(['h.yaml', 'h.yaml > steps.yaml'])
  })
})

describe('progress', () => {
  it('shows on a terminal once a second has passed, and leaves the line empty', async () => {
    const { err } = await call(['rehearse', right('sudden-night'), '--band', '3'], { terminal: true, tickMs: 400 })
    expect(err).toMatch(/varied run: \d of 3/)
    expect(err.endsWith(`\r${ESCAPE}[2K`)).toBe(true)
  })
  it('is silent in a pipe', async () => {
    expect((await call(['rehearse', right('sudden-night'), '--band', '3'], { tickMs: 400 })).err).toBe('')
  })
})

describe('files that flags ask for', () => {
  it('strip and traces are SVG, the sheet is a page, and JSON names them', async () => {
    const { written, out } = await call([
      'rehearse',
      ...short('sudden-night'),
      '--json',
      '--strip-svg',
      's.svg',
      '--traces-svg',
      't.svg',
      '--html',
      'r.html',
    ])
    expect([...written.keys()]).toEqual(['s.svg', 't.svg', 'r.html'])
    expect(written.get('s.svg')).toMatch(/^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg"/)
    expect(JSON.parse(out).written).toEqual(['s.svg', 't.svg', 'r.html'])
  })
  it('weigh scales to another volume and number of vessels', async () => {
    const mass = async (...more: string[]): Promise<number> => {
      const { out } = await call(['weigh', right('sudden-night'), '--json', ...more])
      return JSON.parse(out).makeUp.portions.reduce((sum: number, p: { massG: number }) => sum + p.massG, 0)
    }
    const one = await mass('--vessels', '1')
    expect((await mass('--vessels', '3')) / one).toBeCloseTo(3, 1)
  })
})
