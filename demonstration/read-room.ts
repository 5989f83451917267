/** Reads `room`: its temperature, volume, air changes, and how far off people sit. */
import type { Tree } from '@beakertide/basis/text'
import type { Demonstration } from './demonstration.ts'
import { type Fields, fieldsOf, type Notes, quantityOf, warn } from './fields.ts'

/** All keys, in the order in which they are best written. */
export const roomKeys = {
  required: [],
  optional: ['temperature', 'volume', 'air changes', 'audience'],
  example: '"room: { temperature: 21 degC, volume: 120 m3, air changes: 3 /h, audience: 6 m }"',
}

/** Said in docs/demonstration-format.md: 20 degC is the reference temperature of volumetric glass (ISO 384, memory). */
const DEFAULT_ROOM_K = 293.15
/** A hundred air changes an hour: more is a hood, not a room (our choice). */
const MOST_AIR_CHANGES_PER_S = 100 / 3600
/** From where a demonstrator's own arm ends to the last row of the largest hall, cm (our choice). */
const AUDIENCE_CM = { from: 50, to: 20_000 } as const

/** The room of a document; what is not stated is assumed with a warning, or absent. */
export function readRoom(tree: Tree | undefined, document: Fields, notes: Notes): Demonstration['room'] {
  const none = { temperatureK: DEFAULT_ROOM_K, volumeM3: null }
  const f = tree ? fieldsOf(tree, 'room', roomKeys, notes) : null
  const temperatureTree = f?.get('temperature')
  if (!temperatureTree && (f || !tree)) {
    warn(
      notes,
      'temperature-assumed',
      { where: 'room', span: f?.span ?? document.span },
      'no room temperature is stated; 20 °C is assumed',
      'measure it and write "room: { temperature: 21 degC }"; every time on the rehearsal depends on it',
    )
  }
  if (!f) return none
  const temperature = temperatureTree
    ? quantityOf(temperatureTree, 'room, temperature', ['temperature'], notes, {
        from: 268.15,
        to: 323.15,
        why: 'a room in which people stand',
      })
    : null
  const volumeTree = f.get('volume')
  const volume = volumeTree
    ? quantityOf(volumeTree, 'room, volume', ['volume'], notes, { from: 1000, to: 1e9, why: 'a room; write m3' })
    : null
  const changesTree = f.get('air changes')
  const changes = changesTree
    ? quantityOf(changesTree, 'room, air changes', ['rate'], notes, {
        to: MOST_AIR_CHANGES_PER_S,
        why: 'a room, not a wind tunnel; write "3 /h"',
      })
    : null
  const audienceTree = f.get('audience')
  const audience = audienceTree
    ? quantityOf(audienceTree, 'room, audience', ['length'], notes, { ...AUDIENCE_CM, why: 'people who watch; write m' })
    : null
  return {
    temperatureK: temperature?.value ?? DEFAULT_ROOM_K,
    volumeM3: volume ? volume.value / 1000 : null,
    ...(changes ? { airChangesPerH: changes.value * 3600 } : {}),
    ...(audience ? { audienceM: audience.value / 100 } : {}),
  }
}
