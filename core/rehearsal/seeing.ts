import {
  ciede2000,
  colourName,
  createEye,
  type Eye,
  hexFromXyz,
  type Lab,
  labFromXyz,
  type Observer,
  type Xyz,
} from '@beakertide/basis/colour'
import { done, type Outcome, type Problem, suggestion } from '@beakertide/basis/problems'
import { distinctSources, type Source } from '@beakertide/basis/sources'
import type { SpeciesId } from '../matter/index.ts'
import { type AbsorberFacts, STARCH_ABSORBER } from './absorbers.ts'
import { type Grain, grainExtinction, usualGrains, WHITE_GRAIN_RETURN } from './grains.ts'
import type { StripSample, View } from './rehearsal.ts'
import { bindingConstant, type IodineForms, settleIodine, type StarchFacts, triiodideConstant } from './starch.ts'

/** Concentrations along time. A column of one value holds throughout; a species without a column is absent. */
export interface Course {
  readonly timesS: ArrayLike<number>
  /** mol/L of every species; solids as `X(s)`, mol a litre of liquid; starch as glucose units under "starch". */
  readonly molPerL: Readonly<Record<SpeciesId, ArrayLike<number>>>
  readonly temperatureK: ArrayLike<number>
}

export interface SeeingFacts {
  readonly observer: Observer
  readonly absorbers: AbsorberFacts
  readonly starch: StarchFacts
}

/** Colours along a course, three numbers a sample. */
export interface SeenColours {
  readonly timesS: ArrayLike<number>
  /** XYZ for the screen's white. */
  readonly xyz: Float64Array
  /** L*a*b* (D65). */
  readonly lab: Float64Array
}

/** Everything about looking that does not change along a run: made once, used for every sample and every member of a band. */
export interface Seeing {
  /** The colours of a course. Allocates only its result. */
  colours(course: Course): SeenColours
  /** Sources of the absorbers and grains that a course really holds, with those of the eye. */
  sourcesFor(course: Course): readonly Source[]
  /** Things worth a look about what a course really holds: colours that rest on weak data or a stated approximation. */
  remarksFor(course: Course): readonly Problem[]
}

/**
 * Light that reaches the eye from the surface of glass and liquid, as a share of the ground's white: no liquid in a room looks
 * blacker than this. Glass returns 4 % at each surface (Fresnel, n 1.5); taken as 1 % because a room's walls are dimmer than the
 * white ground behind the vessel. Our own estimate, no source.
 */
export const SURFACE_LIGHT = 0.01

/** How far the total absorbance may move before a colour is made anew: keeps the error under 0.3 ΔE₀₀ (tested). */
const REUSE_ABSORBANCE = 4e-4

/** Depth that can be meant for looking through, cm. */
const DEEPEST_CM = 1000

/**
 * Prepares looking through `view.depthCm` of liquid, against a white ground in the view's light, at the species in `absorbers`
 * (species -> absorber name, e.g. a mechanism's own list before `usualAbsorbers`). Transmission by Beer's and Lambert's law on the
 * table's 5 nm grid; I2, I⁻, I3⁻ and starch are first brought to equilibrium (see starch.ts) unless the mechanism follows its own
 * blue. Light from the surface is added (`SURFACE_LIGHT`); walls and meniscus are left out. Problems: an unknown light or absorber, a depth or adaptation out of range.
 */
export function prepareSeeing(
  view: View,
  absorbers: Readonly<Record<SpeciesId, string>>,
  facts: SeeingFacts,
  grains: Readonly<Record<SpeciesId, Grain>> = usualGrains,
): Outcome<Seeing> {
  const problems = faultsOf(view, absorbers, facts)
  if (problems.length > 0) return { ok: false, problems }
  const eye = createEye(facts.observer, view.illuminant, view.adaptation)
  const dyes = Object.entries(absorbers).map(([species, name]) => dye(species, name, view.depthCm, facts.absorbers))
  const ownBlue = Object.values(absorbers).includes(STARCH_ABSORBER)
  if (!ownBlue) dyes.push(dye(BLUE, STARCH_ABSORBER, view.depthCm, facts.absorbers))
  const looking: Looking = { eye, dyes, grains: Object.entries(grains), depthCm: view.depthCm, starch: ownBlue ? null : facts.starch }
  return done({
    colours: (course) => coloursOf(course, looking),
    sourcesFor: (course) => sourcesOf(course, looking, facts),
    remarksFor: (course) => remarksOn(course, looking, facts),
  })
}

/** The strip of a course: true colour, its word, its Lab. For many courses in one view, `prepareSeeing` once and use its parts. */
export function seeColours(
  course: Course,
  view: View,
  absorbers: Readonly<Record<SpeciesId, string>>,
  facts: SeeingFacts,
): Outcome<{ readonly strip: readonly StripSample[]; readonly sources: readonly Source[] }> {
  const seeing = prepareSeeing(view, absorbers, facts)
  if (!seeing.ok) return seeing
  const value = { strip: stripOf(seeing.value.colours(course)), sources: seeing.value.sourcesFor(course) }
  return done(value, [...seeing.warnings, ...seeing.value.remarksFor(course)])
}

/** A colour must move this far, ΔE₀₀, before it is named anew: a word does not flicker on the border between two. */
const RENAME_DELTA_E = 1

/** Strip samples, one a colour. */
export function stripOf(seen: SeenColours): readonly StripSample[] {
  const strip: StripSample[] = []
  let named: Lab | null = null
  let name = ''
  for (let i = 0; i < seen.timesS.length; i++) {
    const lab = tripleAt(seen.lab, i)
    const before: StripSample | undefined = strip[i - 1]
    const isSame = before !== undefined && before.lab[0] === lab[0] && before.lab[1] === lab[1] && before.lab[2] === lab[2]
    if (named === null || (!isSame && ciede2000(named, lab) >= RENAME_DELTA_E)) {
      named = lab
      name = colourName(lab)
    }
    strip.push({ timeS: seen.timesS[i]!, hex: isSame ? before.hex : hexFromXyz(tripleAt(seen.xyz, i)), name, lab })
  }
  return strip
}

/** Sample i of an array of threes. */
export function tripleAt(flat: ArrayLike<number>, i: number): Xyz {
  return [flat[3 * i]!, flat[3 * i + 1]!, flat[3 * i + 2]!]
}

/** Name, inside this file, of the blue that starch makes; no species of a mechanism is called so. */
const BLUE = 'starch blue (made here)'

interface Dye {
  readonly species: SpeciesId
  readonly name: string
  /** Napierian absorbance of 1 mol/L through the depth, a wavelength. */
  readonly perMol: Float64Array
  readonly most: number
}

interface Looking {
  readonly eye: Eye
  readonly dyes: readonly Dye[]
  readonly grains: readonly (readonly [SpeciesId, Grain])[]
  readonly depthCm: number
  /** null: the mechanism follows the blue itself. */
  readonly starch: StarchFacts | null
}

function dye(species: SpeciesId, name: string, depthCm: number, facts: AbsorberFacts): Dye {
  const epsilon = facts.absorbers[name]?.molarAbsorptivity ?? []
  const perMol = new Float64Array(epsilon.length)
  let most = 0
  for (let k = 0; k < perMol.length; k++) {
    perMol[k] = epsilon[k]! * depthCm * Math.LN10
    most = Math.max(most, perMol[k]!)
  }
  return { species, name, perMol, most }
}

function faultsOf(view: View, absorbers: Readonly<Record<SpeciesId, string>>, facts: SeeingFacts): readonly Problem[] {
  const problems: Problem[] = []
  const lights = Object.keys(facts.observer.lights)
  if (!lights.includes(view.illuminant)) {
    problems.push({
      code: 'rehearsal/light-unknown',
      where: 'light for viewing',
      what: `"${view.illuminant}" is not in the table of lights`,
      todo: suggestion(view.illuminant, lights) || `choose one of ${lights.join(', ')}`,
    })
  }
  if (!(view.depthCm > 0 && view.depthCm <= DEEPEST_CM)) {
    problems.push({
      code: 'rehearsal/depth-out-of-range',
      where: 'depth for viewing',
      what: `${view.depthCm} cm; a depth above 0 and up to ${DEEPEST_CM} cm is allowed`,
      todo: 'give the thickness of liquid that is looked through, for a beaker its inner diameter',
    })
  }
  if (!(view.adaptation >= 0 && view.adaptation <= 1)) {
    problems.push({
      code: 'rehearsal/adaptation-out-of-range',
      where: 'adaptation to the light',
      what: `${view.adaptation}; 0 (sees the light's own tint) to 1 (fully adapted) is allowed`,
      todo: 'use 1 for an audience that has been in this light for some minutes',
    })
  }
  const names = Object.keys(facts.absorbers.absorbers)
  for (const [species, name] of Object.entries(absorbers)) {
    if (names.includes(name)) continue
    problems.push({
      code: 'rehearsal/absorber-unknown',
      where: `colour of ${species}`,
      what: `"${name}" is not in the table of absorbers`,
      todo: suggestion(name, names) || 'add its spectrum to data/tables/absorbers.csv or name another absorber',
    })
  }
  return problems
}

/** Reads a column at sample i; 0 without a column, never negative. */
const at = (column: ArrayLike<number> | undefined, i: number): number => {
  if (column === undefined || column.length === 0) return 0
  const value = column.length === 1 ? column[0]! : column[i]!
  return value > 0 ? value : 0
}

/** Writes the concentration of every dye at sample i into `amounts`, iodine's forms settled first. */
function createMixer(course: Course, { dyes, starch }: Looking): (i: number, amounts: Float64Array) => void {
  const columns = dyes.map((d) => course.molPerL[d.species])
  const [iodine, iodide, triiodide, glucose] = [course.molPerL.I2, course.molPerL['I-'], course.molPerL['I3-'], course.molPerL.starch]
  const mayTakeUp = glucose !== undefined || triiodide === undefined
  if (starch === null || iodine === undefined || iodide === undefined || !mayTakeUp) {
    return (i, amounts) => columns.forEach((column, d) => (amounts[d] = at(column, i)))
  }
  const places = { I2: [] as number[], 'I3-': [] as number[], blue: [] as number[] }
  dyes.forEach((d, place) => {
    if (d.species === 'I2' || d.species === 'I3-') places[d.species].push(place)
    else if (d.species === BLUE) places.blue.push(place)
  })
  const forms: IodineForms = { iodine: 0, iodide: 0, triiodide: 0, blue: 0 }
  let settledK = Number.NaN
  let triiodideK = 0
  let bindingK = 0
  return (i, amounts) => {
    const temperatureK = course.temperatureK.length === 1 ? course.temperatureK[0]! : course.temperatureK[i]!
    if (temperatureK !== settledK) {
      settledK = temperatureK
      triiodideK = triiodideConstant(starch, temperatureK)
      bindingK = bindingConstant(starch, temperatureK)
    }
    const together = at(triiodide, i)
    const sites = at(glucose, i) * starch.sitesPerGlucose.value
    settleIodine(at(iodine, i) + together, at(iodide, i) + together, sites, triiodideK, bindingK, forms)
    columns.forEach((column, d) => (amounts[d] = at(column, i)))
    for (const place of places.I2) amounts[place] = forms.iodine
    for (const place of places['I3-']) amounts[place] = forms.triiodide
    for (const place of places.blue) amounts[place] = forms.blue
  }
}

function coloursOf(course: Course, looking: Looking): SeenColours {
  const { eye, dyes, grains, depthCm } = looking
  const samples = course.timesS.length
  const xyz = new Float64Array(3 * samples)
  const lab = new Float64Array(3 * samples)
  const amounts = new Float64Array(dyes.length)
  const seenAmounts = new Float64Array(dyes.length).fill(Number.NaN)
  const transmittance = new Float64Array(eye.size)
  const out = new Float64Array(3)
  const ground = new Float64Array(3)
  eye.see(transmittance.fill(1), ground)
  const mixAt = createMixer(course, looking)
  const solids = grains
    .filter(([species]) => course.molPerL[species] !== undefined)
    .map(([species, grain]) => ({ column: course.molPerL[species], grain, perMol: grainExtinction(grain) * depthCm }))
  let seenBlack = Number.NaN
  let seenWhite = Number.NaN
  for (let i = 0; i < samples; i++) {
    mixAt(i, amounts)
    let black = 0
    let white = 0
    for (const solid of solids) {
      const depth = at(solid.column, i) * solid.perMol
      if (solid.grain.looks === 'black') black += depth
      else white += depth
    }
    let moved = Math.abs(black - seenBlack) + Math.abs(white - seenWhite)
    for (let d = 0; d < dyes.length; d++) moved += Math.abs(amounts[d]! - seenAmounts[d]!) * dyes[d]!.most
    // NaN before the first colour: then, too, it is made.
    if (!(moved <= REUSE_ABSORBANCE * Math.LN10)) {
      fillTransmittance(dyes, amounts, black, white, transmittance)
      eye.see(transmittance, out)
      for (let c = 0; c < 3; c++) out[c] = SURFACE_LIGHT * ground[c]! + (1 - SURFACE_LIGHT) * out[c]!
      seenAmounts.set(amounts)
      seenBlack = black
      seenWhite = white
      xyz.set(out, 3 * i)
      lab.set(labFromXyz(tripleAt(out, 0)), 3 * i)
    } else {
      xyz.copyWithin(3 * i, 3 * i - 3, 3 * i)
      lab.copyWithin(3 * i, 3 * i - 3, 3 * i)
    }
  }
  return { timesS: course.timesS, xyz, lab }
}

function fillTransmittance(dyes: readonly Dye[], amounts: Float64Array, black: number, white: number, out: Float64Array): void {
  out.fill(black)
  for (let d = 0; d < dyes.length; d++) {
    const amount = amounts[d]!
    if (amount === 0) continue
    const { perMol } = dyes[d]!
    for (let k = 0; k < out.length; k++) out[k]! += amount * perMol[k]!
  }
  for (let k = 0; k < out.length; k++) out[k] = Math.exp(-out[k]!)
  if (white === 0) return
  const through = Math.exp(-white)
  for (let k = 0; k < out.length; k++) out[k] = through * out[k]! + (1 - through) * WHITE_GRAIN_RETURN * Math.sqrt(out[k]!)
}

/** Does a course ever hold this species? */
function holds(course: Course, species: SpeciesId): boolean {
  const column = course.molPerL[species]
  if (column === undefined) return false
  for (let i = 0; i < column.length; i++) if (column[i]! > 0) return true
  return false
}

/** Dyes whose species, or for the blue whose parts, a course holds. */
function dyesIn(course: Course, looking: Looking): readonly Dye[] {
  return looking.dyes.filter((d) =>
    d.species === BLUE
      ? holds(course, 'starch') && holds(course, 'I2')
      : holds(course, d.species) || (d.species === 'I3-' && holds(course, 'I2') && holds(course, 'I-')),
  )
}

function sourcesOf(course: Course, looking: Looking, facts: SeeingFacts): readonly Source[] {
  const { starch } = facts
  return distinctSources([
    facts.observer.source,
    ...dyesIn(course, looking).flatMap((d) => {
      const absorber = facts.absorbers.absorbers[d.name]
      const own: Source[] = absorber === undefined ? [] : [absorber.source]
      return d.species === BLUE
        ? [...own, starch.triiodideSource, starch.halfSaturation, starch.bindingEnthalpy, starch.sitesPerGlucose]
        : own
    }),
    ...looking.grains.filter(([species]) => holds(course, species)).map(([, grain]): Source => ({ source: grain.source, seen: 'assumed' })),
  ])
}

function remarksOn(course: Course, looking: Looking, facts: SeeingFacts): readonly Problem[] {
  const remarks: Problem[] = []
  for (const d of dyesIn(course, looking)) {
    const confidence = facts.absorbers.absorbers[d.name]?.confidence ?? ''
    if (d.species === BLUE) {
      remarks.push({
        code: 'rehearsal/starch-approximate',
        where: 'colour of the liquid',
        what: 'the blue of starch is computed from one binding constant for all sites; real starches differ and bind cooperatively',
        todo: 'trust that blue comes and goes with iodine and iodide together; film a trial for its depth',
      })
    } else if (/\blow\b/.test(confidence)) {
      remarks.push({
        code: 'rehearsal/colour-uncertain',
        where: `colour of ${d.species}`,
        what: `its spectrum is known only roughly (${confidence})`,
        todo: 'compare with a real sample before relying on the shade',
      })
    }
  }
  for (const [species, grain] of looking.grains) {
    if (!holds(course, species)) continue
    remarks.push({
      code: 'rehearsal/grains-approximate',
      where: `colour of the liquid with ${species}`,
      what: `grains are taken as ${grain.looks} spheres of ${grain.diameterCm * 1e4} micrometres`,
      todo: 'expect cloudiness; its strength depends on grain size, which is assumed',
    })
  }
  return remarks
}
