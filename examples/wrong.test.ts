/**
 * Every wrong file has its message beside it, reviewed by a person. The first comment of a file names the codes it must give;
 * the text file holds the whole message. `npx vitest run --project examples -u` writes the messages anew; read the difference.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { problemsText } from '@beakertide/basis/problems'
import { judge } from './judge.ts'

const folder = new URL('wrong/', import.meta.url)
const textOf = (name: string): string => readFileSync(new URL(name, folder), 'utf8')
const names = readdirSync(folder)
  .filter((n) => n.endsWith('.yaml') && !n.endsWith('.steps.yaml'))
  .map((n) => n.replace(/\.yaml$/, ''))

describe('wrong files', () => {
  it('there are at least 28, each with a message', () => {
    expect(names.length).toBeGreaterThanOrEqual(28)
    const messages = readdirSync(folder).filter((n) => n.endsWith('.txt'))
    expect(messages.sort()).toEqual(names.map((n) => `${n}.txt`).sort())
  })
  it.each(names)('%s', async (name) => {
    const text = textOf(`${name}.yaml`)
    const expected = (/^# wrong: (.+)$/m.exec(text)?.[1] ?? '').split(', ')
    const judged = judge(text, `${name}.yaml`, textOf)
    const problems = judged.ok ? [] : judged.problems
    expect([...new Set(problems.map((p) => p.code))].sort()).toEqual(expected.sort())
    const message = fileURLToPath(new URL(`${name}.txt`, folder))
    if (process.env.CI !== undefined) expect(existsSync(message)).toBe(true)
    await expect(problemsText(problems)).toMatchFileSnapshot(message)
  })
  it('a file of 50 MB is refused at once', () => {
    const judged = judge(`title: ${'x'.repeat(50_000_000)}`, 'large.yaml', textOf)
    const problems = judged.ok ? [] : judged.problems
    expect(problems.map((p) => p.code)).toEqual(['text/too-long'])
    expect(problems[0]?.what).toContain('50000007 characters')
  })
})
