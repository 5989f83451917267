/** A demonstration as the text of a document: what a person would have written, ready to be edited on. */
import { writeBlock, writeInline, writeScalar, type YamlValue } from '@beakertide/basis/text'
import { formatQuantity, kelvinToCelsius, type Quantity } from '@beakertide/basis/units'
import type { Assay, Bottle, SolutionRecipe, Target } from '@beakertide/core/makeup'
import type { PlaceLimits } from '@beakertide/core/clearing'
import type { Pour, Vessel } from '@beakertide/core/mixture'
import type { Demonstration, FoundRecipe } from './demonstration.ts'
import { lights } from './lights.ts'
import { isStarch } from './read-bottles.ts'
import { writePour } from './short-ways.ts'
import { currentVersion } from './versions.ts'

type Written = { readonly [key: string]: YamlValue | undefined }

/** Digits that a computed quantity is written with: more than any tool shows. */
const DIGITS = 6

/** A quantity as it was written; a computed one without its zeros at the end. */
const q = (quantity: Quantity | undefined): string | undefined => quantity?.text
/** "0.25 L" rather than "0.250000 L". */
export function plainQuantity(value: number, kind: 'volume' | 'time' | 'length' | 'mass'): string {
  if (kind === 'time') return value === 0 ? '0 s' : `${number(value)} s`
  if (kind === 'length') return `${number(value)} cm`
  return formatQuantity(value, kind, DIGITS).replace(/^(-?\d+)(\.\d*?)0+(?= )/, (_, whole: string, part: string) =>
    part === '.' ? whole : whole + part,
  )
}
const number = (value: number): string => String(Number(value.toPrecision(DIGITS)))
/** 293.15 K is "20 degC". */
const celsius = (kelvin: number): string => `${Number(kelvinToCelsius(kelvin).toFixed(2))} degC`

function assayOf(assay: Assay): Written {
  if (assay.by === 'oxygen-volume')
    return {
      by: 'oxygen volume',
      take: q(assay.take),
      gas: q(assay.gas),
      temperature: q(assay.temperature),
      pressure: q(assay.pressure),
      'over water': assay.overWater ? undefined : 'no',
    }
  return {
    by: assay.by,
    take: q(assay.take),
    'dilute to': q(assay.dilutedTo),
    aliquot: q(assay.aliquot),
    titrant: q(assay.titrant),
    used: q(assay.used),
    blank: q(assay.blank),
  }
}

/** A bottle as it stands under its name; one with nothing to say but what it holds is that alone. */
export function writtenBottle(bottle: Bottle): YamlValue {
  const { substance, hydrate, purity, strength, density, assay, packSize, price, opened } = bottle
  const more = {
    hydrate,
    purity: q(purity),
    strength: q(strength),
    density: q(density),
    assay: assay && assayOf(assay),
    pack: q(packSize),
    price,
    opened,
  }
  return Object.values(more).every((v) => v === undefined) ? substance : { substance, ...more }
}

const TARGET_KEYS: Readonly<Record<Target['state'], string>> = {
  'in-solution': 'in solution',
  'in-mix': 'in the mix',
  mass: 'mass',
  volume: 'volume',
}

/** A solution as it stands under its name. */
export function writtenSolution(solution: SolutionRecipe): YamlValue {
  const ingredients = solution.ingredients.map(({ bottle, target, weighed }): readonly [string, YamlValue] => {
    const text = target.quantity.text
    if (!weighed && target.state !== 'in-mix') return [bottle, text]
    const done = weighed ? { [weighed.kind === 'volume' ? 'measured' : 'weighed']: weighed.text } : {}
    return [bottle, { [TARGET_KEYS[target.state]]: text, ...done }]
  })
  return {
    make: solution.volume.text,
    with: ingredients.length === 0 ? 'water' : Object.fromEntries(ingredients),
    temperature: q(solution.temperature),
    'stored at': q(solution.storedAt),
  }
}

/** Fields of a vessel and a pour that are written only where something unusual is done. */
type Unusual = { readonly closed?: boolean; readonly shaken?: boolean; readonly heldBefore?: readonly string[] }

/** A pour as text, or written out when it has a temperature of its own. */
function writtenPour(pour: Pour & { readonly temperatureK?: number }): YamlValue {
  const volume = plainQuantity(pour.volumeL, 'volume')
  const at = plainQuantity(pour.atS, 'time')
  if (pour.temperatureK === undefined) return writePour(volume, pour.solution, at)
  return { pour: pour.solution, volume, at: pour.atS === 0 ? undefined : at, temperature: celsius(pour.temperatureK) }
}

/** A vessel as it stands under its name. */
export function writtenVessel(vessel: Vessel & Unusual): YamlValue {
  const { heldBefore } = vessel
  return {
    holds: vessel.capacityL === null ? undefined : plainQuantity(vessel.capacityL, 'volume'),
    depth: plainQuantity(vessel.depthCm, 'length'),
    stirred: vessel.stirred ? undefined : 'no',
    closed: vessel.closed === undefined ? undefined : vessel.closed ? 'yes' : 'no',
    shaken: vessel.shaken === undefined ? undefined : vessel.shaken ? 'yes' : 'no',
    'held before': heldBefore === undefined || heldBefore.length === 0 ? undefined : heldBefore,
    count: vessel.count === 1 ? undefined : vessel.count,
    pours: vessel.pours.map(writtenPour),
  }
}

const named = <T extends { readonly id: string }>(things: readonly T[], write: (thing: T) => YamlValue): Written =>
  Object.fromEntries(things.map((thing) => [thing.id, write(thing)]))

/** What a found recipe borrowed from the document is equal to the document's own. */
function writtenFound(recipe: FoundRecipe, shared: readonly Bottle[]): Written {
  const known = new Set(shared.map((b) => JSON.stringify(b)))
  const own = recipe.bottles.filter((b) => !known.has(JSON.stringify(b)))
  return {
    source: recipe.source === '' ? undefined : recipe.source,
    bottles: own.length === 0 ? undefined : named(own, writtenBottle),
    solutions: named(recipe.solutions, writtenSolution),
    pours: recipe.pours.map((p) => writePour(p.volume.text, p.solution, undefined)),
  }
}

function isUsual(tools: Demonstration['tools']): boolean {
  return tools.balanceReadabilityG === 0.01 && tools.glassClass === 'B'
}
/** Whether the reader would take starch for granted. */
function seemsStarch(d: Demonstration): boolean {
  const used = new Set(d.solutions.flatMap((s) => s.ingredients.map((i) => i.bottle)))
  return d.bottles.some((b) => used.has(b.id) && isStarch(b))
}
/** "6 to 9.5", "600 mg/L", "35 degC" */
function limitText({ parameter, low, high }: PlaceLimits['limits'][number]): string {
  const unit = parameter === 'pH' ? '' : parameter === 'temperature' ? ' degC' : ' mg/L'
  return [low, high].flatMap((end) => (end === null ? [] : [`${number(end)}${unit}`])).join(' to ')
}
function placeOf(place: PlaceLimits): Written {
  const limits = Object.fromEntries(place.limits.map((l) => [l.parameter, limitText(l)]))
  return {
    name: place.name,
    source: place.source,
    limits: place.limits.length === 0 ? undefined : limits,
    'collect all': place.collectAll ? 'yes' : undefined,
  }
}

/** The sections of a document in the order in which one is best written. */
function sections(d: Demonstration): readonly (readonly [string, YamlValue])[] {
  const light = Object.entries(lights).find(([, id]) => id === d.view.illuminant)?.[0]
  const found = named(
    d.found.map((f) => ({ ...f, id: f.name })),
    (f) => writtenFound(f, d.bottles),
  )
  const all: readonly (readonly [string, YamlValue | undefined])[] = [
    ['story', d.story === '' ? undefined : d.story],
    ['reaction', 'name' in d.reaction ? d.reaction.name : d.reaction.file],
    ['room', roomOf(d.room)],
    ['bottles', named(d.bottles, writtenBottle)],
    ['solutions', named(d.solutions, writtenSolution)],
    ['vessels', named(d.vessels, writtenVessel)],
    [
      'view',
      {
        light,
        adaptation: d.view.adaptation === 1 ? undefined : d.view.adaptation === 0 ? 'none' : `${number(100 * d.view.adaptation)} %`,
      },
    ],
    ['wanted', d.wantedLengthS === null ? undefined : { length: plainQuantity(d.wantedLengthS, 'time') }],
    ['rehearse for', plainQuantity(d.rehearseS, 'time')],
    ['tools', isUsual(d.tools) ? undefined : toolsOf(d.tools)],
    ['starch', d.starch === seemsStarch(d) ? undefined : d.starch ? 'yes' : 'no'],
    ['controls', Object.keys(d.controls).length === 0 ? undefined : d.controls],
    ['place', d.place === undefined ? undefined : placeOf(d.place)],
    ['found', d.found.length === 0 ? undefined : found],
  ]
  return all.filter((s): s is readonly [string, YamlValue] => s[1] !== undefined)
}
function roomOf(room: Demonstration['room']): Written {
  return {
    temperature: celsius(room.temperatureK),
    volume: room.volumeM3 === null ? undefined : `${number(room.volumeM3)} m3`,
    'air changes': room.airChangesPerH === undefined ? undefined : `${number(room.airChangesPerH)} /h`,
    audience: room.audienceM === undefined ? undefined : `${number(room.audienceM)} m`,
  }
}
function toolsOf(tools: Demonstration['tools']): Written {
  const glass = tools.glassClass === 'indicative' ? 'indicative' : `class ${tools.glassClass}`
  return { balance: formatQuantity(tools.balanceReadabilityG, 'mass', 1), glass }
}

/** Sections whose entries have a line each, and a blank line around them. */
const PARTED = ['bottles', 'solutions', 'vessels', 'found']

/** A document's text from its sections, in the order given; `note` becomes a comment at its head. */
export function writeDocument(given: readonly (readonly [string, YamlValue])[], note = ''): string {
  const head = note
    .split(/\r?\n/)
    .filter((line, _, all) => line !== '' || all.length > 1)
    .map((line) => `${`# ${line}`.trimEnd()}\n`)
    .join('')
  const body = given.map(([key, value]) => {
    if (!PARTED.includes(key))
      return typeof value === 'string' && value.includes('\n')
        ? writeBlock({ [key]: value }, '', 0)
        : `${writeScalar(key, 'key')}: ${writeInline(value, 'block')}`
    const isEmpty = typeof value === 'object' && Object.keys(value).length === 0
    return `\n${key}:${isEmpty ? ' {}' : `\n${writeBlock(value, '  ', 1)}`}${key === 'vessels' || key === 'found' ? '\n' : ''}`
  })
  return `${head}${body.join('\n')}\n`.replace(/\n+$/, '\n').replace(/\n{3,}/g, '\n\n')
}

/**
 * The demonstration's text. It reads back as the same demonstration (checked over all examples), but for "like" and "starts at" of
 * vessels, which are written out.
 */
export function writeDemonstration(d: Demonstration, note = ''): string {
  return writeDocument([['beakertide', currentVersion], ['title', d.title], ...sections(d)], note)
}
