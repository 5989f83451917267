import { describe, expect, it } from 'vitest'
import fc from 'fast-check'
import { rows } from '@beakertide/data'
import { ciede2000, labFromHex, readObserver } from '@beakertide/basis/colour'
import { molarAbsorptivityAt, readAbsorbers, STARCH_ABSORBER, usualAbsorbers } from './absorbers.ts'
import { cyclesOf } from './cycles.ts'
import { grainExtinction, usualGrains } from './grains.ts'
import type { View } from './rehearsal.ts'
import { type Course, prepareSeeing, seeColours, type SeeingFacts, stripOf, SURFACE_LIGHT, tripleAt } from './seeing.ts'
import { bindingConstant, type IodineForms, readStarchFacts, settleIodine, triiodideConstant } from './starch.ts'
import { findTurns } from './turns.ts'

const facts: SeeingFacts = {
  observer: readObserver(rows('tables/cie1931_2deg')),
  absorbers: readAbsorbers(rows('tables/absorbers_spectra'), rows('tables/absorbers')),
  starch: readStarchFacts(rows('tables/equilibria'), rows('tables/substances')),
}
const daylight: View = { illuminant: 'd65', depthCm: 1, adaptation: 1 }
const ROOM_K = 298.15

function look(molPerL: Course['molPerL'], view: Partial<View> = {}, timesS: readonly number[] = [0], temperatureK = ROOM_K) {
  const seen = seeColours({ timesS, molPerL, temperatureK: [temperatureK] }, { ...daylight, ...view }, usualAbsorbers, facts)
  if (!seen.ok) throw new Error(seen.problems[0]?.what)
  return { ...seen.value, warnings: seen.warnings }
}
const nameOf = (molPerL: Course['molPerL'], view: Partial<View> = {}, temperatureK = ROOM_K): string =>
  look(molPerL, view, [0], temperatureK).strip[0]!.name

describe('readAbsorbers', () => {
  it('keeps source, status, confidence and medium of every spectrum', () => {
    const { absorbers, wavelengthsNm } = facts.absorbers
    expect(wavelengthsNm).toHaveLength(81)
    for (const absorber of Object.values(absorbers)) {
      expect(absorber.source.source).not.toBe('')
      expect(absorber.confidence).not.toBe('')
      expect(absorber.molarAbsorptivity).toHaveLength(81)
    }
    expect(absorbers[STARCH_ABSORBER]?.confidence).toMatch(/^low/)
  })
  it('knows every absorber that a species usually stands for', () => {
    for (const name of Object.values(usualAbsorbers)) expect(Object.keys(facts.absorbers.absorbers)).toContain(name)
  })
  it('gives the tabulated values between and outside the grid', () => {
    // Single points of data/tables/absorbers.csv (row_kind "point"), beside the bands they were fitted with.
    expect(molarAbsorptivityAt(facts.absorbers, 'I3-', 353)).toBeGreaterThan(26400 * 0.95)
    expect(molarAbsorptivityAt(facts.absorbers, 'I3-', 353)).toBeLessThan(26400 * 1.1)
    expect(molarAbsorptivityAt(facts.absorbers, 'I2(aq)', 460)).toBeCloseTo(746, 0)
    expect(molarAbsorptivityAt(facts.absorbers, 'MnO4-', 525)).toBeCloseTo(2440, 0)
    const [at525, at530] = [2440, 2280]
    expect(molarAbsorptivityAt(facts.absorbers, 'MnO4-', 527)).toBeCloseTo(at525 + 0.4 * (at530 - at525), 6)
    expect(molarAbsorptivityAt(facts.absorbers, 'MnO4-', 300)).toBeNull()
    expect(molarAbsorptivityAt(facts.absorbers, 'nothing', 500)).toBeNull()
  })
  it('has spectra that are the sums of their bands', () => {
    for (const [name, absorber] of Object.entries(facts.absorbers.absorbers)) {
      if (absorber.bands.length === 0) continue
      const sum = absorber.bands.reduce(
        (s, band) => s + band.heightLPerMolCm * Math.exp(-4 * Math.LN2 * ((1e7 / 500 - 1e7 / band.centreNm) / band.widthPerCm) ** 2),
        0,
      )
      expect(Math.abs(molarAbsorptivityAt(facts.absorbers, name, 500)! - sum), name).toBeLessThan(0.01 * sum + 0.01)
    }
  })
  it('refuses spectra on another grid or without description: faults of the tables', () => {
    const spectra = rows('tables/absorbers_spectra')
    expect(() => readAbsorbers(spectra.slice(1), rows('tables/absorbers'))).toThrow(/grid/)
    expect(() => readAbsorbers(spectra.slice(0, 81), [])).toThrow(/not described/)
  })
})

describe('colours', () => {
  it('is white without absorbers and black with too many', () => {
    expect(look({}).strip[0]).toMatchObject({ hex: '#ffffff', name: 'colourless' })
    expect(look({ 'MnO4-': [10], 'Cu2+': [10], I2: [1] }).strip[0]).toMatchObject({ name: 'black' })
  })
  it('agrees with the plausibility table of our own data where nothing leaves the screen (consistency, not truth)', () => {
    let compared = 0
    for (const row of rows('tables/absorbers_colour_check')) {
      const channels = /^#(..)(..)(..)$/
        .exec(row.srgb_hex!)!
        .slice(1)
        .map((c) => Number.parseInt(c, 16))
      // That table clips what a screen cannot show, we map it otherwise; it leaves out the 1 % of light from the surface.
      if (channels.some((c) => c === 0 || c === 255)) continue
      const seen = seeColours(
        { timesS: [0], molPerL: { X: [Number(row.concentration_mol_per_l)] }, temperatureK: [ROOM_K] },
        { ...daylight, depthCm: Number(row.path_cm) },
        { X: row.absorber! },
        facts,
      )
      expect(seen.ok).toBe(true)
      if (!seen.ok) continue
      compared++
      expect(ciede2000(seen.value.strip[0]!.lab, labFromHex(row.srgb_hex!)), row.absorber).toBeLessThan(1)
    }
    expect(compared).toBeGreaterThanOrEqual(4)
  })
  it('obeys Beer and Lambert: depth and concentration only count as their product', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1e-2, noNaN: true }), fc.double({ min: 0.1, max: 20, noNaN: true }), (c, depthCm) => {
        const deep = look({ 'MnO4-': [c] }, { depthCm }).strip[0]!
        const strong = look({ 'MnO4-': [c * depthCm] }).strip[0]!
        expect(ciede2000(deep.lab, strong.lab)).toBeLessThan(1e-6)
      }),
    )
  })
  it('keeps the error of reusing colours under 0.3 of a colour difference', () => {
    const step = fc.double({ min: -1, max: 1, noNaN: true })
    fc.assert(
      fc.property(
        fc.array(fc.tuple(step, step, step), { minLength: 20, maxLength: 60 }),
        fc.constantFrom(1e-8, 1e-7, 1e-6),
        (steps, size) => {
          const course = { I2: [4e-4], 'MnO4-': [2e-5], 'Cu2+': [0.05] }
          for (const [a, b, c] of steps) {
            course.I2.push(Math.max(0, course.I2.at(-1)! + 10 * size * a))
            course['MnO4-'].push(Math.max(0, course['MnO4-'].at(-1)! + size * b))
            course['Cu2+'].push(Math.max(0, course['Cu2+'].at(-1)! + 200 * size * c))
          }
          const timesS = course.I2.map((_, i) => i)
          const strip = look(course, { depthCm: 5 }, timesS).strip
          timesS.forEach((i) => {
            const alone = look({ I2: [course.I2[i]!], 'MnO4-': [course['MnO4-'][i]!], 'Cu2+': [course['Cu2+'][i]!] }, { depthCm: 5 })
            expect(ciede2000(alone.strip[0]!.lab, strip[i]!.lab)).toBeLessThan(0.3)
          })
        },
      ),
      { numRuns: 30 },
    )
  })
  it('shows the tint of the light only to an eye that has not adapted', () => {
    expect(nameOf({}, { illuminant: 'a', adaptation: 1 })).toBe('colourless')
    expect(nameOf({}, { illuminant: 'a', adaptation: 0 })).toMatch(/yellow|orange|amber/)
  })
  it('tells every fault of a view at once, with what is allowed', () => {
    const seen = prepareSeeing({ illuminant: 'd56', depthCm: 0, adaptation: 2 }, { I2: 'I2(aw)' }, facts)
    expect(seen.ok).toBe(false)
    if (seen.ok) return
    expect(seen.problems.map((p) => p.code)).toEqual([
      'rehearsal/light-unknown',
      'rehearsal/depth-out-of-range',
      'rehearsal/adaptation-out-of-range',
      'rehearsal/absorber-unknown',
    ])
    expect(seen.problems[0]?.todo).toContain('"d65"')
    expect(seen.problems[3]?.todo).toContain('"I2(aq)"')
    expect(prepareSeeing({ ...daylight, depthCm: Number.NaN, adaptation: Number.NaN }, {}, facts).ok).toBe(false)
  })
  it('lists the sources and doubts of what is really there', () => {
    const iodine = look({ I2: [3e-4], 'I-': [1e-3], starch: [0.005] })
    expect(iodine.sources.some((s) => s.source.includes('Awtrey'))).toBe(true)
    expect(iodine.sources.some((s) => s.source.includes('amylose'))).toBe(true)
    expect(iodine.warnings.map((w) => w.code)).toContain('rehearsal/starch-approximate')
    const permanganate = look({ 'MnO4-': [3e-4], I2: [0] })
    expect(permanganate.sources.some((s) => s.source.includes('Awtrey'))).toBe(false)
    expect(permanganate.warnings).toEqual([])
    expect(look({ 'Fe3+': [0.01] }).warnings.map((w) => w.code)).toEqual(['rehearsal/colour-uncertain'])
  })
  it('clouds with grains and says so', () => {
    const milky = look({ 'S(s)': [2e-4] }, { depthCm: 5 })
    expect(milky.warnings[0]?.code).toBe('rehearsal/grains-approximate')
    expect(milky.strip[0]!.lab[0]).toBeLessThan(98)
    expect(Math.hypot(milky.strip[0]!.lab[1], milky.strip[0]!.lab[2])).toBeLessThan(0.5)
    // Black grains only take light: T = exp(-tau) at every wavelength, so Y is that too.
    const black = look({ 'I2(s)': [0.01] }, { depthCm: 5 }).strip[0]!
    const y = SURFACE_LIGHT + (1 - SURFACE_LIGHT) * Math.exp(-grainExtinction(usualGrains['I2(s)']!) * 0.01 * 5)
    expect(black.lab[0]).toBeCloseTo(116 * Math.cbrt(y) - 16, 6)
    // Geometry by hand: 1 mol of 50 µm spheres, 253.809 g / 4.93 g/mL = 51.48 cm³, times 1.5 / 0.005 cm = 15445 cm².
    expect(grainExtinction(usualGrains['I2(s)']!) * 1000).toBeCloseTo(15445, -1)
  })
})

describe('iodine and starch', () => {
  const forms: IodineForms = { iodine: 0, iodide: 0, triiodide: 0, blue: 0 }
  const amount = fc.oneof(
    fc.constant(0),
    fc.double({ min: -12, max: 0, noNaN: true }).map((x) => 10 ** x),
  )

  it('reads the measured triiodide constant and the range of the starch binding', () => {
    expect(triiodideConstant(facts.starch, ROOM_K)).toBeCloseTo(698, 6)
    expect(triiodideConstant(facts.starch, 273.15 + 17.5)).toBeGreaterThan(784)
    expect(triiodideConstant(facts.starch, 273.15 + 17.5)).toBeLessThan(884)
    expect(triiodideConstant(facts.starch, 273.15 + 70)).toBeLessThan(335)
    expect(triiodideConstant(facts.starch, 273.15 + 1)).toBeGreaterThan(1136)
    expect(facts.starch.halfSaturation.value).toBeCloseTo(Math.sqrt(1e-6 * 1e-5), 12)
    expect(bindingConstant(facts.starch, ROOM_K)).toBeCloseTo(1 / facts.starch.halfSaturation.value, 3)
    expect(bindingConstant(facts.starch, 333.15)).toBeLessThan(bindingConstant(facts.starch, ROOM_K) / 20)
  })
  it('keeps iodine and iodide and meets both equilibria, from nothing to molar', () => {
    fc.assert(
      fc.property(amount, amount, amount, (iodine, iodide, sites) => {
        const [k3, kb] = [698, 3e5]
        settleIodine(iodine, iodide, sites, k3, kb, forms)
        const scale = Math.max(iodine, iodide, 1e-30)
        expect(Math.abs(forms.iodine + forms.triiodide + forms.blue - iodine)).toBeLessThan(1e-9 * scale)
        expect(Math.abs(forms.iodide + forms.triiodide + forms.blue - iodide)).toBeLessThan(1e-9 * scale)
        expect(forms.blue).toBeLessThanOrEqual(sites)
        const made = k3 * forms.iodine * forms.iodide
        // Where a partner is nearly all used up its remainder carries the rounding of the difference.
        const rounding = k3 * 1e-9 * scale * Math.max(forms.iodine, forms.iodide)
        expect(Math.abs(forms.triiodide - made)).toBeLessThan(1e-6 * forms.triiodide + rounding + 1e-30)
      }),
      { numRuns: 500 },
    )
  })
  it('has the triiodide of the quadratic without starch', () => {
    // 1 mmol/L iodine in 0.01 mol/L iodide: x = K (a - x)(b - x) solved as a quadratic.
    const [a, b, k] = [1e-3, 1e-2, 698]
    const s = a + b + 1 / k
    settleIodine(a, b, 0, k, 3e5, forms)
    expect(forms.triiodide).toBeCloseTo((s - Math.sqrt(s * s - 4 * a * b)) / 2, 12)
    expect(forms.blue).toBe(0)
  })
  it('is blue with iodine and iodide, amber with iodine alone, colourless with iodide alone, and pales when hot', () => {
    const starch = [0.005]
    expect(nameOf({ I2: [2e-4], 'I-': [1e-3], starch }, { depthCm: 3 })).toMatch(/blue/)
    expect(nameOf({ I2: [4e-4], 'I-': [1e-9], starch }, { depthCm: 3 })).toBe('amber')
    expect(nameOf({ I2: [0], 'I-': [1e-2], starch }, { depthCm: 3 })).toBe('colourless')
    const cold = look({ I2: [1e-5], 'I-': [1e-3], starch }, { depthCm: 3 }).strip[0]!
    const hot = look({ I2: [1e-5], 'I-': [1e-3], starch }, { depthCm: 3 }, [0], 358).strip[0]!
    expect(hot.lab[0]).toBeGreaterThan(cold.lab[0] + 10)
  })
  it('gives triiodide its yellow even where a mechanism has no such species', () => {
    const with3 = look({ I2: [2e-4], 'I-': [5e-3], 'I3-': [7e-4] }).strip[0]!
    const without = look({ I2: [9e-4], 'I-': [5.7e-3] }).strip[0]!
    expect(without.name).toBe('yellow')
    expect(ciede2000(with3.lab, without.lab)).toBeLessThan(3)
  })
  it('lets a mechanism follow its own blue', () => {
    const seeing = prepareSeeing(daylight, { ...usualAbsorbers, blue: STARCH_ABSORBER }, facts)
    expect(seeing.ok).toBe(true)
    if (!seeing.ok) return
    const course = { timesS: [0], molPerL: { I2: [1e-4], 'I-': [1e-2], starch: [0.005], blue: [0] }, temperatureK: [ROOM_K] }
    expect(stripOf(seeing.value.colours(course))[0]!.name).not.toMatch(/blue/)
  })
})

describe('shows of known course', () => {
  const every = (endS: number, stepS: number): number[] => Array.from({ length: Math.round(endS / stepS) + 1 }, (_, i) => i * stepS)
  const turnsOf = (molPerL: Course['molPerL'], timesS: readonly number[], depthCm: number) => {
    const seeing = prepareSeeing({ ...daylight, depthCm }, usualAbsorbers, facts)
    if (!seeing.ok) throw new Error('view')
    return findTurns(timesS, seeing.value.colours({ timesS, molPerL, temperatureK: [ROOM_K] }).lab)
  }

  it('an iodine clock with starch turns once, when the iodine comes', () => {
    const timesS = every(120, 0.2)
    // Iodine appears at 60 s and grows by 2 µmol/L a second: closed form of a clock after its reductant is used up.
    const I2 = timesS.map((t) => Math.max(0, t - 60) * 2e-6)
    const clock = turnsOf({ I2, 'I-': [0.01], starch: [0.003] }, timesS, 5)
    expect(clock.turns).toHaveLength(1)
    expect(clock.turns[0]!.timeS).toBeGreaterThan(60)
    expect(clock.turns[0]!.timeS).toBeLessThan(70)
    expect(clock.turns[0]!.to).toMatch(/blue/)
  })
  it('an abrupt clock to a deep blue turns once although the colour runs through light and full blues', () => {
    const timesS = every(60, 0.05)
    const I2 = timesS.map((t) => 8e-4 / (1 + Math.exp(-(t - 30) / 0.15)))
    expect(turnsOf({ I2, 'I-': [0.02], starch: [0.01] }, timesS, 5).turns).toHaveLength(1)
  })
  it('permanganate fading through manganese dioxide turns to brown and then clears', () => {
    const timesS = every(600, 1)
    const permanganate = timesS.map((t) => 4e-4 * Math.exp(-((t / 150) ** 2)))
    const brown = timesS.map((t) => 2e-4 * Math.exp(-(((t - 260) / 90) ** 2)))
    const fade = turnsOf({ 'MnO4-': permanganate, MnO2: brown }, timesS, 3)
    expect(fade.settled.at(-1)!.name).toBe('colourless')
    expect(fade.settled.some((c) => /brown|amber|orange/.test(c.name))).toBe(true)
    expect(fade.turns.length).toBeGreaterThanOrEqual(2)
    expect(fade.turns.length).toBeLessThanOrEqual(3)
  })
  it('permanganate that simply fades turns once', () => {
    const timesS = every(600, 1)
    const fade = turnsOf({ 'MnO4-': timesS.map((t) => 4e-4 / (1 + Math.exp((t - 200) / 30))) }, timesS, 3)
    expect(fade.turns).toHaveLength(1)
    expect(fade.turns[0]!.to).toBe('colourless')
  })
  it('iodine and iodide in turn give colourless, amber, blue, as often as they come', () => {
    // Iodine grows for 9 s with hardly any iodide, then iodide jumps within half a second, then both are used up.
    const timesS = every(150, 0.1)
    const phase = (t: number): number => (t % 15) / 15
    const iodine = timesS.map((t) =>
      phase(t) < 0.6 ? 4e-4 * (phase(t) / 0.6) : 4e-4 * Math.max(0, 1 - (phase(t) - 0.75) / 0.2) ** (phase(t) > 0.75 ? 1 : 0),
    )
    const iodide = timesS.map((t) => 1e-8 + 1e-4 / (1 + Math.exp(-(phase(t) - 0.62) * 300)) / (1 + Math.exp((phase(t) - 0.96) * 300)))
    const show = turnsOf({ I2: iodine, 'I-': iodide, starch: [0.005] }, timesS, 5)
    const found = cyclesOf(show)
    expect(found.cycles).toBeGreaterThanOrEqual(9)
    expect(found.cycles).toBeLessThanOrEqual(10)
    found.periodsS.forEach((p) => expect(Math.abs(p - 15)).toBeLessThan(0.2))
    const names = new Set(show.settled.map((c) => c.name))
    expect([...names].some((n) => /amber|orange/.test(n))).toBe(true)
    expect([...names].some((n) => n.includes('blue'))).toBe(true)
    expect(names).toContain('colourless')
  })
})

describe('a long course', () => {
  it('gives one strip sample for each of 3000 samples of five absorbers', () => {
    const seeing = prepareSeeing({ ...daylight, depthCm: 5 }, usualAbsorbers, facts)
    expect(seeing.ok).toBe(true)
    if (!seeing.ok) return
    const timesS = Array.from({ length: 3000 }, (_, i) => i / 5)
    const wave = (size: number, period: number) => Float64Array.from(timesS, (t) => size * (1 + Math.sin(t / period)))
    const course: Course = {
      timesS,
      molPerL: { I2: wave(2e-4, 3), 'I-': wave(1e-4, 5), starch: [0.005], 'MnO4-': wave(1e-5, 7), 'Cu2+': [0.01] },
      temperatureK: [ROOM_K],
    }
    const colours = seeing.value.colours(course)
    const strip = stripOf(colours)
    expect(strip).toHaveLength(3000)
    expect(tripleAt(colours.lab, 2999)).toEqual(strip[2999]!.lab)
  })
})
