import { describe, expect, it } from 'vitest'
import { clockMark, liquidHex } from './paint.ts'

describe('liquidHex', () => {
  it('leaves a colour as it is where nothing is dimmed', () => {
    expect(liquidHex('#13f0a9', 1)).toBe('#13f0a9')
  })
  it('multiplies every channel alike, so that hue and order stay', () => {
    expect(liquidHex('#804020', 0.5)).toBe('#402010')
    // 255 · 0.45 = 114.75, 200 · 0.45 = 90, 100 · 0.45 = 45
    expect(liquidHex('#ffc864', 0.45)).toBe('#735a2d')
    expect(liquidHex('#000000', 0.45)).toBe('#000000')
  })
})

describe('clockMark', () => {
  it('shows hours only when there are some', () => {
    expect([0, 90, 3725].map(clockMark)).toEqual(['0:00', '1:30', '1:02:05'])
  })
})
