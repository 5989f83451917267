/** The eye, the lights, colour differences and the screen against the numbers that CIE, IEC and the CIEDE2000 authors print. */
import {
  chromaticity,
  ciede2000,
  createEye,
  labFromHex,
  labFromXyz,
  type Observer,
  screenWhite,
  tristimulus,
} from '@beakertide/basis/colour'
import { molarAbsorptivityAt, seeColours } from '@beakertide/core/rehearsal'
import { facts } from '@beakertide/data'
import { ciede2000Pairs } from '../basis/colour/ciede2000-pairs.ts'
import { found, ledger, valueOf } from './ledger.ts'

const { check } = ledger('colour')
const observer = facts.observer()

const CIE = 'CIE 15 (2004, 2018), CIE 1931 2 degree observer: table of chromaticities of illuminants'
const withEqualEnergy: Observer = { ...observer, lights: { ...observer.lights, e: observer.wavelengthsNm.map(() => 1) } }
for (const [name, light, x, y] of [
  ['A', 'a', 0.44758, 0.40745],
  ['D50', 'd50', 0.34567, 0.35851],
  ['D65', 'd65', 0.31272, 0.32903],
  ['E', 'e', 1 / 3, 1 / 3],
  ['LED-B1', 'led_b1', 0.456, 0.4078],
  ['LED-B2', 'led_b2', 0.4357, 0.4012],
  ['LED-B3', 'led_b3', 0.3756, 0.3723],
  ['LED-B4', 'led_b4', 0.3422, 0.3502],
  ['LED-B5', 'led_b5', 0.3118, 0.3236],
  ['FL2', 'fl2', 0.3721, 0.3751],
  ['FL11', 'fl11', 0.3805, 0.3769],
] as const) {
  for (const [axis, theirs] of [
    ['x', x],
    ['y', y],
  ] as const) {
    check(`light ${name}, chromaticity ${axis}`, {
      source: CIE,
      seen: 'memory',
      ours: () => chromaticity(tristimulus(withEqualEnergy, light))[axis === 'x' ? 0 : 1],
      theirs,
      unit: '1',
      within: 1e-4,
      because: '5 nm summation over 380 to 780 nm; four or five printed decimals',
    })
  }
}
for (const [name, light, at, theirs, within] of [
  ['D65 X', 'd65', 0, 0.95047, 2e-4],
  ['D65 Z', 'd65', 2, 1.08883, 4e-4],
  ['A X', 'a', 0, 1.0985, 2e-4],
  ['A Z', 'a', 2, 0.35585, 2e-4],
] as const) {
  check(`white point ${name}, Y = 1`, {
    source: 'ASTM E308, tables of tristimulus values of illuminants (2 degree observer)',
    seen: 'memory',
    ours: () => tristimulus(observer, light)[at],
    theirs,
    unit: '1',
    within,
    because: '5 nm summation against the standard weights',
  })
}
for (const [name, nm, weight, theirs] of [
  ['x', 600, 'xBar', 1.0622],
  ['y', 555, 'yBar', 1],
  ['z', 445, 'zBar', 1.7826],
  ['y', 510, 'yBar', 0.503],
] as const) {
  check(`observer ${name} at ${nm} nm`, {
    source: 'CIE 1931 2 degree standard observer, table at 5 nm',
    seen: 'memory',
    ours: () => found(observer[weight][observer.wavelengthsNm.indexOf(nm)], `value at ${nm} nm`),
    theirs,
    unit: '1',
    within: 1e-4,
    because: 'four printed decimals',
  })
}

for (const [i, [l1, a1, b1, l2, a2, b2, deltaE]] of ciede2000Pairs.entries()) {
  check(`CIEDE2000 pair ${i + 1}`, {
    source:
      'Sharma, Wu & Dalal, Color Res. Appl. 30, 21 (2005), table 1; read in two stored copies that cite it (basis/colour/ciede2000-pairs.ts)',
    seen: 'read',
    ours: () => ciede2000([l1, a1, b1], [l2, a2, b2]),
    theirs: deltaE,
    unit: 'dE00',
    within: 5e-5,
    because: 'four printed decimals',
  })
}

for (const [hex, l, a, b] of [
  ['#ffffff', 100, 0, 0],
  ['#ff0000', 53.24, 80.09, 67.2],
  ['#00ff00', 87.735, -86.183, 83.179],
  ['#0000ff', 32.297, 79.188, -107.86],
  ['#ffff00', 97.139, -21.554, 94.478],
  ['#808080', 53.585, 0, 0],
] as const) {
  for (const [axis, theirs] of [l, a, b].entries()) {
    check(`sRGB ${hex}, ${'Lab'[axis] ?? ''}`, {
      source: 'IEC 61966-2-1 with CIE L*a*b* (D65): values printed by many colour tables',
      seen: 'memory',
      ours: () => found(labFromHex(hex)[axis], 'coordinate'),
      theirs,
      unit: '1',
      within: 0.02,
      because: 'the white is 0.3127, 0.3290 or 0.95047, 1.08883 after the table, which moves the third digit',
    })
  }
}
for (const [name, xyz, theirs] of [
  ['mid grey, Y 0.1842', [0.1842 * screenWhite[0], 0.1842, 0.1842 * screenWhite[2]], 50],
  ['dark grey, Y 0.008856', [0.008856 * screenWhite[0], 0.008856, 0.008856 * screenWhite[2]], 8],
] as const) {
  check(`L* of ${name}`, {
    source: 'CIE 15: L* = 116 (Y)^(1/3) - 16; border of the linear part at L* = 8',
    seen: 'memory',
    ours: () => labFromXyz(xyz)[0],
    theirs,
    unit: '1',
    within: 0.01,
    because: 'rounding of Y',
  })
}
check('a clear filter in light A stays white to the adapted eye, a*', {
  source: 'definition of complete chromatic adaptation (von Kries)',
  seen: 'computed',
  ours: () => {
    const eye = createEye(observer, 'a', 1)
    const seen = new Float64Array(3)
    eye.see(new Float64Array(eye.size).fill(1), seen)
    return labFromXyz([seen[0] ?? 0, seen[1] ?? 0, seen[2] ?? 0])[1]
  },
  theirs: 0,
  unit: 'a*',
  within: 0.01,
  because: 'rounding of matrices',
})

for (const [name, nm, theirs, within, because, source] of [
  ['I2(aq)', 460, 746, 10, 'quoted as 728 to 750', 'Awtrey & Connick, J. Am. Chem. Soc. 73, 1842 (1951)'],
  ['I3-', 353, 26400, 200, 'quoted as 26200 to 26400', 'Awtrey & Connick, J. Am. Chem. Soc. 73, 1842 (1951)'],
  ['I3-', 460, 975, 30, 'quoted as 975', 'Awtrey & Connick, J. Am. Chem. Soc. 73, 1842 (1951)'],
  ['MnO4-', 525, 2420, 60, 'quoted as 2380 to 2460', 'textbooks of spectrophotometry'],
  ['ferroin Fe(phen)3 2+', 510, 11100, 150, 'quoted as 11000 to 11100', 'textbooks of spectrophotometry'],
  ['CrO4 2-', 400, 2000, 700, 'the edge of the 372 nm band falls steeply there', 'textbooks of spectrophotometry'],
] as const) {
  check(`molar absorptivity of ${name} at ${nm} nm`, {
    source,
    seen: 'memory',
    ours: () => found(molarAbsorptivityAt(facts.absorbers(), name, nm), 'absorptivity'),
    theirs,
    unit: 'L/(mol cm)',
    within,
    because,
  })
}

/** Colour differences from colours that another program computed from the same spectra. */
const view = { illuminant: 'd65', adaptation: 1 }
for (const [i, row] of facts.rows('tables/absorbers_colour_check').entries()) {
  const cell = (column: string): string => row[column] ?? ''
  const hex = cell('srgb_hex')
  // That table clips what a screen cannot show, ours is brought in otherwise: only colours inside the screen's range are comparable.
  const inside = [1, 3, 5].every((k) => !['00', 'ff'].includes(hex.slice(k, k + 2)))
  if (!inside) continue
  check(`colour ${i + 1}: ${cell('absorber')}, ${cell('concentration_mol_per_l')} mol/L, ${cell('path_cm')} cm, ${cell('illuminant')}`, {
    source: `${cell('source')} (another program, same spectra: numerics, not nature)`,
    seen: 'computed',
    ours: () => {
      const { strip } = valueOf(
        seeColours(
          { timesS: [0], molPerL: { X: [Number(cell('concentration_mol_per_l'))] }, temperatureK: [298.15] },
          { ...view, illuminant: cell('illuminant').toLowerCase(), depthCm: Number(cell('path_cm')) },
          { X: cell('absorber') },
          { observer, absorbers: facts.absorbers(), starch: facts.starch() },
        ),
      )
      return ciede2000(found(strip[0], 'colour').lab, labFromHex(hex))
    },
    theirs: 0,
    unit: 'dE00',
    within: 1,
    because: 'ours adds 1 % of light from the surface; a difference of 1 is just seen',
  })
}
