import { describe, expect, it } from 'vitest'
import { pictureOf } from './strip-picture.ts'

const run = {
  vessel: 'jar',
  startS: 10,
  inductionS: 50,
  cycles: 0,
  endS: 60,
  stillGoing: false,
  strip: [
    { timeS: 0, hex: '#ffffff', name: 'colourless' },
    { timeS: 60, hex: '#000044', name: 'blue' },
    { timeS: 120, hex: '#000044', name: 'blue' },
  ],
  turns: [{ timeS: 60, to: 'blue' }],
}

describe('picture of a strip', () => {
  it('covers the whole time with runs of equal colour', () => {
    const picture = pictureOf(run)
    expect(picture.runs).toEqual([
      [120, '#ffffff'],
      [120, '#000044'],
    ])
    expect(picture).toMatchObject({ fromS: 0, toS: 120, colours: ['colourless', 'blue'], lastsS: 50 })
  })
  it('says that nothing is seen of nothing', () => {
    const still = pictureOf({ ...run, strip: [], turns: [], endS: null, inductionS: null })
    expect(still).toMatchObject({ runs: [], colours: [], lastsS: null })
  })
})
