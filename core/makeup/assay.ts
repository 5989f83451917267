/** The true strength of a perishable bottle, from a short assay, with its own uncertainty. */
import { done, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import {
  ATMOSPHERE_PA,
  formatNumber,
  formatQuantity,
  GAS_CONSTANT,
  kelvinToCelsius,
  type Quantity,
  type QuantityKind,
  ZERO_CELSIUS_K,
} from '@beakertide/basis/units'
import { type MatterFacts, type Substance, waterVapourPressurePa } from '../matter/index.ts'
import type { Glassware, GlassPiece } from './glassware.ts'
import { volumeUncertaintyL } from './glassware.ts'
import { measure, TEMPERATURE_SPREAD_K } from './measuring.ts'
import type { Assay, BalanceAndGlass, Bottle } from './recipe.ts'
import { electronsInAssay, PERMANGANATE_ELECTRONS, THIOSULFATE_ELECTRONS } from './titration.ts'
import { propagate, quadrature, rectangular, type Shape, type Uncertain, type UncertaintyPart } from './uncertainty.ts'
import { balanceWith, weighingUncertaintyG } from './weighing.ts'
import { labelUncertainty } from './written-number.ts'

/** Molar volume of an ideal gas at 0 degC and 1 atm, L/mol: the base of "volumes" of peroxide (computed from R; real oxygen: 22.39). */
export const MOLAR_VOLUME_0C_1ATM_L = (GAS_CONSTANT * ZERO_CELSIUS_K * 1000) / ATMOSPHERE_PA
/** Peroxide a mole of oxygen: 2 H2O2 -> 2 H2O + O2. */
export const PEROXIDE_PER_OXYGEN = 2
/** Strength of peroxide, mol/L, of which one litre gives `volumes` litres of oxygen at 0 degC and 1 atm. */
export const peroxideFromVolumes = (volumes: number): number => (PEROXIDE_PER_OXYGEN * volumes) / MOLAR_VOLUME_0C_1ATM_L
/** The reverse: "volumes" of a peroxide of this strength in mol/L. */
export const volumesFromPeroxide = (molPerL: number): number => (molPerL * MOLAR_VOLUME_0C_1ATM_L) / PEROXIDE_PER_OXYGEN

/** Half-width of seeing the end point, L: one drop (common practice, no source). */
const END_POINT_DROP_L = 0.05e-3
/** Half-width of a read barometer, Pa: assumed. */
const BAROMETER_PA = 500
/** Half-width when no pressure is given and 1 atm is taken, Pa: weather at sea level (memory). */
const WEATHER_PA = 3000

/** What an assay found. */
export interface AssayResult {
  /** mol of the substance in a litre ("per-litre") or in a gram ("per-gram") of what is in the bottle. */
  readonly basis: 'per-litre' | 'per-gram'
  readonly strength: Uncertain
  readonly budget: readonly UncertaintyPart[]
  readonly warnings: readonly Problem[]
}

export interface AssayRoom {
  readonly matter: MatterFacts
  readonly ware: Glassware
  readonly tools: BalanceAndGlass
  readonly expansionPerK: number
}

interface Input extends Uncertain {
  readonly what: string
  readonly shape: Shape
}

/** A titration is done with class B glass at least, whatever the make-up is measured with. */
const titrationClass = (tools: BalanceAndGlass): 'A' | 'B' => (tools.glassClass === 'A' ? 'A' : 'B')

function smallestHolding(volumeL: number, kind: GlassPiece['kind'], room: AssayRoom): GlassPiece | undefined {
  return room.ware.pieces
    .filter((p) => p.kind === kind && p.class === titrationClass(room.tools) && p.capacityL >= volumeL * (1 - 1e-9))
    .sort((a, b) => a.capacityL - b.capacityL || a.toleranceL - b.toleranceL)[0]
}

function takenVolume(what: string, q: Quantity, room: AssayRoom): Input {
  const how = {
    glassClass: titrationClass(room.tools),
    ware: room.ware,
    expansionPerK: room.expansionPerK,
    enoughRelative: 0,
    corrosive: false,
  }
  const taken = measure(q.value, how)
  return { what: `${what} (${taken.tool})`, shape: 'triangular', value: q.value, u: q.uncertainty ?? taken.uncertaintyL }
}

function flaskVolume(q: Quantity, room: AssayRoom): Input {
  const piece = smallestHolding(q.value, 'volumetric flask', room) ?? smallestHolding(q.value, 'measuring cylinder', room)
  const u = piece ? volumeUncertaintyL(piece, q.value, TEMPERATURE_SPREAD_K, room.expansionPerK) : rectangular(q.value * 0.01)
  return { what: `flask ${q.text}`, shape: 'triangular', value: q.value, u: q.uncertainty ?? u }
}

function buretteVolume(what: string, q: Quantity, room: AssayRoom): Input {
  const piece = smallestHolding(q.value, 'burette', room)
  const reading = piece ? volumeUncertaintyL(piece, q.value, TEMPERATURE_SPREAD_K, room.expansionPerK) : rectangular(q.value * 0.01)
  return {
    what: `${what} (burette and end point)`,
    shape: 'triangular',
    value: q.value,
    u: q.uncertainty ?? quadrature([reading, rectangular(END_POINT_DROP_L)]),
  }
}

function taken(what: string, q: Quantity, room: AssayRoom): Input {
  if (q.kind === 'volume') return takenVolume(what, q, room)
  const u = weighingUncertaintyG(balanceWith(room.tools.balanceReadabilityG, room.ware))
  return { what: `${what} (balance)`, shape: 'rectangular', value: q.value, u: q.uncertainty ?? u }
}

function finish(
  basis: AssayResult['basis'],
  model: (x: readonly number[]) => number,
  inputs: readonly Input[],
  warnings: readonly Problem[],
): AssayResult {
  const found = propagate(model, inputs)
  const budget = inputs
    .map((input, i) => ({
      what: `assay: ${input.what}`,
      shape: input.shape,
      relative: found.value === 0 ? 0 : found.contributions[i]! / Math.abs(found.value),
    }))
    .filter((p) => p.relative > 0)
  return { basis, strength: { value: found.value, u: found.u }, budget, warnings }
}

/** Checks kinds and signs of the quantities of an assay; all problems at once. */
function faults(
  where: string,
  parts: readonly (readonly [name: string, q: Quantity | undefined, kinds: readonly QuantityKind[], mayBeZero: boolean])[],
  span: Bottle['span'],
): Problem[] {
  const at = span ? { span } : {}
  return parts.flatMap(([name, q, kinds, mayBeZero]) => {
    if (!q) return []
    if (!kinds.includes(q.kind)) {
      return [
        {
          code: 'makeup/assay-quantity',
          where: `${where}, ${name}`,
          what: `"${q.text}" is a ${q.kind}; ${kinds.join(' or ')} is needed here`,
          todo: `write ${name} as a ${kinds[0]}`,
          ...at,
        },
      ]
    }
    if (!Number.isFinite(q.value) || q.value < 0 || (q.value === 0 && !mayBeZero)) {
      return [
        {
          code: 'makeup/assay-quantity',
          where: `${where}, ${name}`,
          what: `"${q.text}" must be more than 0`,
          todo: `write what was really used as ${name}`,
          ...at,
        },
      ]
    }
    return []
  })
}

function titrationFaults(
  bottle: Bottle,
  assay: Exclude<Assay, { by: 'oxygen-volume' }>,
  electrons: number,
  substance: Substance,
): Problem[] {
  const where = `bottle "${bottle.id}", assay`
  const at = bottle.span ? { span: bottle.span } : {}
  const found = faults(
    where,
    [
      ['take', assay.take, ['volume', 'mass'], false],
      ['dilutedTo', assay.dilutedTo, ['volume'], false],
      ['aliquot', assay.aliquot, ['volume', 'mass'], false],
      ['titrant', assay.titrant, ['amount-concentration'], false],
      ['used', assay.used, ['volume'], false],
      ['blank', assay.blank, ['volume'], true],
    ],
    bottle.span,
  )
  const say = (code: string, what: string, todo: string): void => void found.push({ code: `makeup/${code}`, where, what, todo, ...at })
  if (electrons === 0) {
    const other = electronsInAssay(substance, assay.by === 'permanganate' ? 'iodometric' : 'permanganate')
    say(
      'assay-does-not-fit',
      `${substance.name} does not react in a ${assay.by} titration in a known ratio`,
      other > 0
        ? `use the ${assay.by === 'permanganate' ? 'iodometric' : 'permanganate'} titration`
        : 'leave the assay out and give the strength from the label',
    )
  }
  if (found.length > 0) return found
  if (assay.blank && assay.blank.value >= assay.used.value)
    say(
      'assay-blank',
      `the blank (${assay.blank.text}) is not below what was used (${assay.used.text})`,
      'give the volume used for the sample, blank not subtracted',
    )
  const holder = assay.dilutedTo ?? (assay.take.kind === assay.aliquot.kind ? assay.take : undefined)
  if (holder && assay.aliquot.kind === holder.kind && assay.aliquot.value > holder.value * (1 + 1e-9)) {
    say(
      'assay-aliquot',
      `the aliquot (${assay.aliquot.text}) is more than there is (${holder.text})`,
      'check "take", "dilutedTo" and "aliquot"',
    )
  }
  if (assay.dilutedTo && assay.take.kind === 'volume' && assay.take.value > assay.dilutedTo.value) {
    say('assay-dilution', `${assay.take.text} cannot be diluted to ${assay.dilutedTo.text}`, 'check "take" and "dilutedTo"')
  }
  if (assay.dilutedTo && assay.aliquot.kind !== 'volume')
    say(
      'assay-aliquot',
      `the aliquot of a diluted bottle is a volume; "${assay.aliquot.text}" is a mass`,
      'give the volume pipetted from the flask',
    )
  return found
}

function titrate(
  bottle: Bottle,
  assay: Exclude<Assay, { by: 'oxygen-volume' }>,
  substance: Substance,
  room: AssayRoom,
): Outcome<AssayResult> {
  const electrons = electronsInAssay(substance, assay.by)
  const found = titrationFaults(bottle, assay, electrons, substance)
  if (found.length > 0) return refuse(...found)
  const titrantElectrons = assay.by === 'permanganate' ? PERMANGANATE_ELECTRONS : THIOSULFATE_ELECTRONS
  const used = buretteVolume('titrant used', assay.used, room)
  const blank =
    assay.blank && assay.blank.value > 0
      ? buretteVolume('blank', assay.blank, room)
      : { what: 'blank', shape: 'normal' as const, value: 0, u: 0 }
  const titrant: Input = {
    what: `titrant ${assay.titrant.text}`,
    shape: assay.titrant.uncertainty === undefined ? 'rectangular' : 'normal',
    value: assay.titrant.value,
    u: labelUncertainty(assay.titrant),
  }
  const ratio = titrantElectrons / electrons
  const basis = assay.take.kind === 'mass' ? 'per-gram' : 'per-litre'
  const warnings = burettesWarnings(bottle, assay.used)
  if (assay.dilutedTo) {
    const inputs = [
      used,
      blank,
      titrant,
      flaskVolume(assay.dilutedTo, room),
      taken('aliquot', assay.aliquot, room),
      taken('sample', assay.take, room),
    ]
    return done(
      finish(
        basis,
        ([u = 0, b = 0, c = 0, flask = 0, aliquot = 1, take = 1]) => ((u - b) * c * ratio * flask) / aliquot / take,
        inputs,
        warnings,
      ),
    )
  }
  // titrated as it is: what went into the flask is the aliquot, the rest of "take" stays out
  const whole = assay.take.kind === assay.aliquot.kind ? assay.aliquot : assay.take
  return done(
    finish(
      basis,
      ([u = 0, b = 0, c = 0, sample = 1]) => ((u - b) * c * ratio) / sample,
      [used, blank, titrant, taken('sample', whole, room)],
      warnings,
    ),
  )
}

/** A burette reading that is too short, or too long for one burette. */
function burettesWarnings(bottle: Bottle, used: Quantity): Problem[] {
  const at = bottle.span ? { span: bottle.span } : {}
  const shortest = 10e-3
  const longest = 50e-3
  if (used.value >= shortest && used.value <= longest) return []
  return [
    {
      code: 'makeup/assay-reading',
      where: `bottle "${bottle.id}", assay`,
      what: `${used.text} of titrant is ${used.value < shortest ? 'little' : 'more than one burette holds'}; between 10 and 50 mL reads best`,
      todo: used.value < shortest ? 'take a larger aliquot or a weaker titrant' : 'take a smaller aliquot or a stronger titrant',
      ...at,
    },
  ]
}

function readGas(
  bottle: Bottle,
  assay: Extract<Assay, { by: 'oxygen-volume' }>,
  substance: Substance,
  room: AssayRoom,
): Outcome<AssayResult> {
  const where = `bottle "${bottle.id}", assay`
  const at = bottle.span ? { span: bottle.span } : {}
  const found = faults(
    where,
    [
      ['take', assay.take, ['volume', 'mass'], false],
      ['gas', assay.gas, ['volume'], false],
      ['temperature', assay.temperature, ['temperature'], false],
      ['pressure', assay.pressure, ['pressure'], false],
    ],
    bottle.span,
  )
  const perMole = substance.entersWater.find((e) => e.species === 'H2O2')?.count ?? 0
  if (perMole === 0)
    found.push({
      code: 'makeup/assay-does-not-fit',
      where,
      what: `${substance.name} sets no oxygen free; only hydrogen peroxide is assayed by gas`,
      todo: 'use a titration',
      ...at,
    })
  if (found.length > 0) return refuse(...found)
  const celsius = kelvinToCelsius(assay.temperature.value)
  if (assay.overWater && (celsius < 0 || celsius > 100))
    return refuse({
      code: 'makeup/assay-quantity',
      where,
      what: `gas over water at ${assay.temperature.text}: water is liquid between 0 and 100 degC`,
      todo: 'check the temperature',
      ...at,
    })
  const warnings: Problem[] = []
  if (!assay.pressure) {
    warnings.push({
      code: 'makeup/assay-pressure',
      where,
      what: `no pressure is given; ${formatQuantity(ATMOSPHERE_PA, 'pressure', 4)} +/- ${formatNumber(WEATHER_PA / 1000, 1)} kPa is taken, which is wrong in the mountains (about 1.2 kPa every 100 m)`,
      todo: 'read a barometer or the weather station (not reduced to sea level) and write "pressure"',
      ...at,
    })
  }
  const gasPiece = smallestHolding(assay.gas.value, 'measuring cylinder', room)
  const gasU = gasPiece ? volumeUncertaintyL(gasPiece, 0, 0, 0) : rectangular(assay.gas.value * 0.02)
  const pressure: Input = assay.pressure
    ? { what: 'pressure', shape: 'rectangular', value: assay.pressure.value, u: assay.pressure.uncertainty ?? rectangular(BAROMETER_PA) }
    : { what: 'pressure not measured', shape: 'rectangular', value: ATMOSPHERE_PA, u: rectangular(WEATHER_PA) }
  const inputs: readonly Input[] = [
    { what: 'gas volume (measuring cylinder)', shape: 'triangular', value: assay.gas.value, u: assay.gas.uncertainty ?? gasU },
    {
      what: 'temperature of the gas',
      shape: 'rectangular',
      value: assay.temperature.value,
      u: assay.temperature.uncertainty ?? rectangular(room.ware.thermometerToleranceK),
    },
    pressure,
    taken('sample', assay.take, room),
  ]
  const oxygenMol = (gasL: number, kelvin: number, pa: number): number => {
    const wet = assay.overWater ? waterVapourPressurePa(kelvinToCelsius(kelvin), room.matter) : 0
    return ((pa - wet) * gasL * 1e-3) / (GAS_CONSTANT * kelvin)
  }
  const model = ([gasL = 0, kelvin = 1, pa = 0, sample = 1]: readonly number[]): number =>
    (PEROXIDE_PER_OXYGEN * oxygenMol(gasL, kelvin, pa)) / perMole / sample
  return done(finish(assay.take.kind === 'mass' ? 'per-gram' : 'per-litre', model, inputs, warnings))
}

/**
 * The strength an assay found, mol of the labelled formula in a litre or a gram, with its budget.
 * Refuses an assay that does not react with the substance or whose numbers cannot be.
 */
export function evaluateAssay(bottle: Bottle, assay: Assay, substance: Substance, room: AssayRoom): Outcome<AssayResult> {
  return assay.by === 'oxygen-volume' ? readGas(bottle, assay, substance, room) : titrate(bottle, assay, substance, room)
}
