import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { parseMechanism } from './parse-mechanism.ts'

describe('docs/mechanism-format.md', () => {
  const page = readFileSync(new URL('../../docs/mechanism-format.md', import.meta.url), 'utf8')
  it('shows a whole file that is read without problem or warning', () => {
    const example = /```yaml\n([\s\S]*?)```/.exec(page)?.[1] ?? ''
    const parsed = parseMechanism(example, 'example')
    expect(parsed.ok ? parsed.warnings.map((w) => w.what) : parsed.problems.map((p) => `${p.where} ${p.what}`)).toEqual([])
    expect(parsed.ok && parsed.value.steps.map((s) => s.id)).toEqual(['slow', 'fast'])
  })
})
