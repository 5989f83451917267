import { describe, expect, it } from 'vitest'
import fc from 'fast-check'
import { converter, differenceCiede2000, modeLab65, modeOklab, modeOklch, modeRgb, modeXyz65, toGamut, useMode } from 'culori/fn'
import { rows } from '@beakertide/data'
import { adapt, adaptationMatrix, cat16 } from './adaptation.ts'
import { ciede2000Pairs } from './ciede2000-pairs.ts'
import { createEye } from './eye.ts'
import { oklabFromXyz, xyzFromOklab } from './gamut.ts'
import { chromaAndHue, ciede2000, type Lab, labFromXyz, screenWhite, xyzFromLab } from './lab.ts'
import { inverse, times } from './matrix.ts'
import { chromaticity, readObserver, tristimulus } from './observer.ts'
import { decode, encode, hexFromLab, hexFromXyz, intoGamut, labFromHex, linearRgbFromXyz, xyzFromLinearRgb } from './screen.ts'

useMode(modeRgb)
useMode(modeLab65)
useMode(modeXyz65)
useMode(modeOklab)
useMode(modeOklch)
const observer = readObserver(rows('tables/cie1931_2deg'))
const anyLab = fc.tuple(
  fc.double({ min: 1, max: 100, noNaN: true }),
  fc.double({ min: -100, max: 100, noNaN: true }),
  fc.double({ min: -100, max: 100, noNaN: true }),
)

describe('readObserver', () => {
  it('reads 81 wavelengths and the lights by column', () => {
    expect(observer.wavelengthsNm).toHaveLength(81)
    expect(Object.keys(observer.lights)).toEqual(expect.arrayContaining(['a', 'd50', 'd65', 'led_b3', 'fl11']))
    expect(observer.source.seen).toBe('read')
  })
  it('refuses a table with a hole or unequal steps: such a table is our fault', () => {
    const table = rows('tables/cie1931_2deg')
    expect(() => readObserver(table.toSpliced(40, 1))).toThrow(/equal steps/)
    expect(() => readObserver(table.with(3, { ...table[3], ybar: 'x' }))).toThrow(/ybar/)
    expect(() => readObserver([])).toThrow(/empty/)
  })
})

describe('white points against CIE 15 (chromaticities of the standard illuminants, 2 degree observer; memory)', () => {
  it.each([
    ['d65', 0.31271, 0.32902],
    ['a', 0.44758, 0.40745],
    ['d50', 0.34567, 0.3585],
    ['fl2', 0.37208, 0.37529],
    ['fl11', 0.38052, 0.37713],
    ['led_b3', 0.3756, 0.3723],
  ])('%s', (light, x, y) => {
    const met = chromaticity(tristimulus(observer, light))
    // The published values come from 1 nm tables: 5 nm sums differ in the fifth decimal, for lamps with narrow lines in the fourth.
    const within = light.startsWith('fl') ? 3e-4 : 1e-4
    expect(Math.abs(met[0] - x)).toBeLessThan(within)
    expect(Math.abs(met[1] - y)).toBeLessThan(within)
  })
  it('equal energy is one third each', () => {
    const flat = { ...observer, lights: { e: observer.wavelengthsNm.map(() => 1) } }
    const [x, y] = chromaticity(tristimulus(flat, 'e'))
    expect(x).toBeCloseTo(1 / 3, 4)
    expect(y).toBeCloseTo(1 / 3, 4)
  })
  it('a grey filter takes its transmittance of Y and nothing of the chromaticity', () => {
    const grey = tristimulus(
      observer,
      'a',
      observer.wavelengthsNm.map(() => 0.25),
    )
    expect(grey[1]).toBeCloseTo(0.25, 12)
    expect(chromaticity(grey)[0]).toBeCloseTo(chromaticity(tristimulus(observer, 'a'))[0], 12)
  })
})

describe('adaptation', () => {
  it('inverts the CAT16 matrix to the published inverse (read in a copy)', () => {
    const published = [
      [1.86206786, -1.01125463, 0.14918677],
      [0.38752654, 0.62144744, -0.00897398],
      [-0.0158415, -0.03412294, 1.04996444],
    ]
    inverse(cat16.fromXyz).forEach((row, i) => row.forEach((value, j) => expect(value).toBeCloseTo(published[i]![j]!, 7)))
  })
  it('gives the two-step corresponding colour of a published worked case', () => {
    // Test case of Zhai & Luo 2018 with CAT16: read in the tests of the public repository colour-science/colour (test_zhai2018.py).
    const middle = [1, 1, 1] as const
    const there = adaptationMatrix([0.95047, 1, 1.08883], middle, 0.98)
    const seen = times(inverse(there), adapt([48.9, 43.62, 6.25], [1.0985, 1, 0.35585], middle, 0.9407))
    ;[40.37398343, 43.69426311, 20.51733764].forEach((value, i) => expect(seen[i]).toBeCloseTo(value, 7))
  })
  it('leaves colours alone at degree 0, takes white to white at 1, and holds beyond', () => {
    const lamp = tristimulus(observer, 'a')
    adapt([0.3, 0.4, 0.2], lamp, screenWhite, 0).forEach((v, i) => expect(v).toBeCloseTo([0.3, 0.4, 0.2][i]!, 12))
    adapt(lamp, lamp, screenWhite, 1).forEach((v, i) => expect(v).toBeCloseTo(screenWhite[i]!, 12))
    expect(adapt(lamp, lamp, screenWhite, 7)).toEqual(adapt(lamp, lamp, screenWhite, 1))
  })
})

describe('Lab', () => {
  it('comes back from XYZ', () => {
    fc.assert(
      fc.property(anyLab, (lab) => {
        labFromXyz(xyzFromLab(lab)).forEach((v, i) => expect(v).toBeCloseTo(lab[i]!, 8))
      }),
    )
  })
  it('agrees with an independent library (culori, lab65)', () => {
    const toLab = converter('lab65')
    for (const [x, y, z] of [
      [0.2, 0.3, 0.1],
      [0.9, 0.95, 1],
      [0.001, 0.002, 0.004],
    ] as const) {
      const theirs = toLab({ mode: 'xyz65', x, y, z })
      const ours = labFromXyz([x, y, z])
      expect(ours[0]).toBeCloseTo(theirs.l, 9)
      expect(ours[1]).toBeCloseTo(theirs.a, 9)
      expect(ours[2]).toBeCloseTo(theirs.b, 9)
    }
  })
})

describe('CIEDE2000', () => {
  it('agrees with an independent library (culori) on any two colours', () => {
    const theirs = differenceCiede2000()
    const as = ([l, a, b]: Lab) => ({ mode: 'lab65' as const, l, a, b })
    fc.assert(
      fc.property(anyLab, anyLab, (x, y) => {
        expect(ciede2000(x, y)).toBeCloseTo(theirs(as(x), as(y)), 10)
      }),
    )
    const grey: Lab = [50, 0, 0]
    fc.assert(
      fc.property(anyLab, (x) => {
        expect(ciede2000(x, grey)).toBeCloseTo(theirs(as(x), as(grey)), 10)
      }),
    )
  })
  it('has all 34 published pairs', () => expect(ciede2000Pairs).toHaveLength(34))
  it.each(ciede2000Pairs.map((pair, i) => [i + 1, pair] as const))('published pair %i', (_, [l1, a1, b1, l2, a2, b2, published]) => {
    expect(ciede2000([l1, a1, b1], [l2, a2, b2]).toFixed(4)).toBe(published.toFixed(4))
    expect(ciede2000([l2, a2, b2], [l1, a1, b1]).toFixed(4)).toBe(published.toFixed(4))
  })
  it('is zero for equal colours', () => {
    fc.assert(fc.property(anyLab, (lab) => ciede2000(lab, lab) === 0))
  })
})

describe('sRGB', () => {
  it('derives the matrix of IEC 61966-2-1 from its primaries (printed to four decimals, memory)', () => {
    const printed = [
      [0.4124, 0.3576, 0.1805],
      [0.2126, 0.7152, 0.0722],
      [0.0193, 0.1192, 0.9505],
    ]
    xyzFromLinearRgb.forEach((row, i) => row.forEach((value, j) => expect(Math.abs(value - printed[i]![j]!)).toBeLessThan(1.01e-4)))
  })
  it('shows white, black, the primaries and the middle grey of the standard', () => {
    expect(hexFromXyz(screenWhite)).toBe('#ffffff')
    expect(hexFromXyz([0, 0, 0])).toBe('#000000')
    expect(hexFromXyz(times(xyzFromLinearRgb, [1, 0, 0]))).toBe('#ff0000')
    expect(hexFromXyz(times(xyzFromLinearRgb, [0, 1, 0]))).toBe('#00ff00')
    expect(hexFromXyz(times(xyzFromLinearRgb, [0, 0, 1]))).toBe('#0000ff')
    // Linear 0.2158605 is signal 128/255: the standard's own curve, ((128/255 + 0.055)/1.055)^2.4.
    expect(hexFromXyz([0.2158605 * screenWhite[0], 0.2158605, 0.2158605 * screenWhite[2]])).toBe('#808080')
  })
  it('has the Lab of the primaries (memory: 53.24 80.09 67.20; 87.73 -86.18 83.18; 32.30 79.19 -107.86)', () => {
    const published: readonly (readonly [string, Lab])[] = [
      ['#ff0000', [53.24, 80.09, 67.2]],
      ['#00ff00', [87.73, -86.18, 83.18]],
      ['#0000ff', [32.3, 79.19, -107.86]],
    ]
    for (const [hex, lab] of published) labFromHex(hex).forEach((v, i) => expect(Math.abs(v - lab[i]!)).toBeLessThan(0.02))
  })
  it('decodes what it encodes and comes back from hex', () => {
    fc.assert(fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (v) => Math.abs(decode(encode(v)) - v) < 1e-5))
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 0xffffff }), (n) => {
        const hex = `#${n.toString(16).padStart(6, '0')}`
        expect(hexFromLab(labFromHex(hex))).toBe(hex)
      }),
    )
    expect(() => labFromHex('red')).toThrow(/not a colour/)
  })
})

describe('gamut mapping', () => {
  it("has Ottosson's four printed XYZ examples in Oklab (memory)", () => {
    const examples = [
      [
        [0.95, 1, 1.089],
        [1, 0, 0],
      ],
      [
        [1, 0, 0],
        [0.45, 1.236, -0.019],
      ],
      [
        [0, 1, 0],
        [0.922, -0.671, 0.263],
      ],
      [
        [0, 0, 1],
        [0.153, -1.415, -0.449],
      ],
    ] as const
    for (const [xyz, lab] of examples) oklabFromXyz(xyz).forEach((v, i) => expect(Math.abs(v - lab[i]!)).toBeLessThan(6e-4))
    const back = xyzFromOklab(oklabFromXyz([0.3, 0.2, 0.7]))
    ;[0.3, 0.2, 0.7].forEach((v, i) => expect(back[i]).toBeCloseTo(v, 9))
  })
  it('always lands on the screen, keeps the hue, and leaves colours that can be shown alone', () => {
    fc.assert(
      fc.property(anyLab, (lab) => {
        const xyz = xyzFromLab(lab)
        const rgb = times(linearRgbFromXyz, xyz)
        const mapped = intoGamut(xyz)
        for (const channel of times(linearRgbFromXyz, mapped)) {
          expect(channel).toBeGreaterThan(-1e-5)
          expect(channel).toBeLessThan(1 + 1e-5)
        }
        if (rgb.every((c) => c >= 0 && c <= 1)) expect(mapped).toEqual(xyz)
        else {
          const [, a, b] = oklabFromXyz(xyz)
          const [, c, d] = oklabFromXyz(mapped)
          // Same ray from the grey axis: the cross product vanishes and the dot product is not negative.
          expect(Math.abs(a * d - b * c)).toBeLessThan(1e-6)
          expect(a * c + b * d).toBeGreaterThanOrEqual(-1e-9)
        }
      }),
      { numRuns: 300 },
    )
  })
  it('lies on average as near to the true colour as the map of CSS Color 4 (culori)', () => {
    const theirMap = toGamut('rgb', 'oklch')
    const toLab = converter('lab65')
    let ours = 0
    let theirs = 0
    for (let hue = 0; hue < 360; hue += 15) {
      for (const lightness of [15, 35, 55, 75, 92]) {
        const lab: Lab = [lightness, 110 * Math.cos((hue * Math.PI) / 180), 110 * Math.sin((hue * Math.PI) / 180)]
        const css = toLab(theirMap({ mode: 'lab65', l: lab[0], a: lab[1], b: lab[2] }))
        ours += ciede2000(lab, labFromXyz(intoGamut(xyzFromLab(lab))))
        theirs += ciede2000(lab, [css.l, css.a, css.b])
      }
    }
    expect(ours).toBeLessThan(1.05 * theirs)
  })
  it('keeps the tint of a lamp that the eye has not adapted to', () => {
    const lab = labFromHex(hexFromXyz(tristimulus(observer, 'a')))
    expect(chromaAndHue(lab).chroma).toBeGreaterThan(10)
    expect(chromaAndHue(lab).hueDegrees).toBeGreaterThan(60)
    expect(chromaAndHue(lab).hueDegrees).toBeLessThan(100)
  })
})

describe('createEye', () => {
  it('gives what summation and adaptation give one after the other', () => {
    const light = 'led_b3'
    const transmittance = Float64Array.from(observer.wavelengthsNm, (nm) => 0.5 + 0.5 * Math.sin(nm / 40))
    const out = new Float64Array(3)
    createEye(observer, light, 0.8).see(transmittance, out)
    const slow = adapt(tristimulus(observer, light, transmittance), tristimulus(observer, light), screenWhite, 0.8)
    slow.forEach((v, i) => expect(out[i]).toBeCloseTo(v, 12))
  })
  it('sees a clear filter as white once adapted', () => {
    for (const light of Object.keys(observer.lights)) {
      const out = new Float64Array(3)
      createEye(observer, light, 1).see(new Float64Array(81).fill(1), out)
      const lab = labFromXyz([out[0]!, out[1]!, out[2]!])
      expect(ciede2000(lab, [100, 0, 0])).toBeLessThan(1e-6)
    }
  })
})
