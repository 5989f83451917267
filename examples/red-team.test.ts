/** The red-team page stays true: twenty rows, and every file that it names holds what it quotes. */
import { existsSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'

const at = (path: string): URL => new URL(`../${path}`, import.meta.url)
const page = readFileSync(at('docs/red-team.md'), 'utf8')
const rows = page.split('\n').filter((line) => /^\| \d+/.test(line))

describe('docs/red-team.md', () => {
  it('has twenty rows in order, each with something that shows it', () => {
    expect(rows.map((r) => Number(/^\| (\d+)/.exec(r)?.[1]))).toEqual(Array.from({ length: 20 }, (_, i) => i + 1))
  })
  it.each(rows)('%s', (row) => {
    const shown = [...row.matchAll(/`([\w/.-]+\.(?:yaml|ts))` "([^"]+)"/g)]
    expect(shown.length).toBeGreaterThan(0)
    for (const [, path = '', quoted = ''] of shown) {
      expect(existsSync(at(path)), path).toBe(true)
      expect(readFileSync(at(path), 'utf8'), path).toContain(quoted)
      if (path.endsWith('.yaml')) expect(existsSync(at(path.replace(/\.yaml$/, '.txt'))), path).toBe(true)
    }
  })
})
