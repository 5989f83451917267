import { readFileSync } from 'node:fs'
import { describe, expect, it, vi } from 'vitest'
import { call, right } from './testing/fake-door.ts'

const text = (path: string): string => readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8')
const block = (path: string, language: string): string => new RegExp(`\`\`\`${language}\\n([^]*?)\`\`\``).exec(text(path))?.[1] ?? ''

describe('what the pages promise', () => {
  it('the document of the tutorial on the command line works as it stands, through every verb it names', async () => {
    const files = { 'first-clock.yaml': block('docs/tutorial-command-line.md', 'yaml') }
    for (const verb of ['check', 'weigh', 'rehearse', 'day']) {
      const { out, err, code } = await call([verb, 'first-clock.yaml', ...(verb === 'rehearse' || verb === 'day' ? ['--band', '0'] : [])], {
        files,
      })
      expect(err).toBe('')
      expect(code).toBe(0)
      expect(out).toContain('First clock')
    }
    const spoilt = { 'first-clock.yaml': files['first-clock.yaml'].replace('potassium iodate', 'potasium iodate') }
    const { err, code } = await call(['check', 'first-clock.yaml'], { files: spoilt })
    expect(code).toBe(1)
    expect(err).toContain('potassium iodate')
  })
  it('the library example of the README is the one that is compiled here, and runs', async () => {
    expect(block('README.md', 'ts')).toBe(text('apps/cli/testing/readme-use.ts'))
    const log = vi.spyOn(console, 'log').mockImplementation(() => undefined)
    await import('./testing/readme-use.ts')
    const said = log.mock.calls.flat().join(' ')
    log.mockRestore()
    expect(said).toContain('potassium iodate')
  })
  it('the README names every verb, and every verb has help', async () => {
    const { out } = await call(['--help'])
    const verbs = [...out.matchAll(/^ {2}beakertide ([a-z-]+) \[/gm)].map((m) => m[1] ?? '')
    expect(verbs).toHaveLength(14)
    for (const verb of verbs) {
      expect(text('README.md')).toContain(`| \`${verb}\``)
      expect((await call([verb, '--help'])).out).toContain('--json')
    }
  })
  it('the number in CHANGELOG is what weigh says', async () => {
    const { out } = await call(['weigh', right('tide-in-a-jar')])
    expect(out).toContain('2.10 mL')
    expect(out).toContain('0.07545 ± 0.00082')
  })
})
