import { describe, expect, it } from 'vitest'
import { hashOf, readRoute } from './route.ts'

describe('route', () => {
  it('reads what it writes', () => {
    for (const route of [
      { stop: 'bench', key: null },
      { stop: 'rehearsal', key: 'example-slow-fuse' },
    ] as const)
      expect(readRoute(hashOf(route))).toEqual(route)
  })
  it('leads anything else to the bench', () => {
    for (const hash of ['', '#', '#/nowhere/x', '#/rehearsal/<script>', 'javascript:alert(1)'])
      expect(readRoute(hash)).toEqual({ stop: 'bench', key: null })
  })
})
