import { describe, expect, it } from 'vitest'
import { readMechanismDefaults, readMechanismFiles } from '../../data/src/mechanisms.ts'
import { parseMechanism } from './parse-mechanism.ts'

describe('x', () => {
  it('parses', () => {
    for (const f of readMechanismFiles()) {
      const r = parseMechanism(f.text, f.file)
      console.log(f.name, r.ok ? JSON.stringify(r.warnings.map((p) => p.where + ' ' + p.what)) : JSON.stringify(r.problems, null, 1))
    }
    expect(readMechanismDefaults()).toBeTruthy()
  })
})
