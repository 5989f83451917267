/** A place with the limits of its authority, entered once and used for every demonstration. Plain data, in the collection "places". */
import { isLimitParameter, type PlaceLimits } from '@beakertide/core/clearing'

export interface PlaceRecord {
  readonly id: string
  readonly version: 1
  /** At most one place is in force. */
  readonly isInForce: boolean
  readonly place: PlaceLimits
}

const isMap = (x: unknown): x is Readonly<Record<string, unknown>> => typeof x === 'object' && x !== null && !Array.isArray(x)
const isLimit = (x: unknown): boolean => x === null || (typeof x === 'number' && Number.isFinite(x))

/** A record read back, or null when it is not one of ours. */
export function readPlaceRecord(x: unknown): PlaceRecord | null {
  if (!isMap(x) || x['version'] !== 1 || typeof x['id'] !== 'string' || typeof x['isInForce'] !== 'boolean') return null
  const place = x['place']
  if (!isMap(place) || typeof place['name'] !== 'string' || typeof place['source'] !== 'string' || typeof place['collectAll'] !== 'boolean')
    return null
  const { limits } = place
  const isWhole =
    Array.isArray(limits) &&
    limits.every(
      (l: unknown) =>
        isMap(l) && typeof l['parameter'] === 'string' && isLimitParameter(l['parameter']) && isLimit(l['low']) && isLimit(l['high']),
    )
  return isWhole ? (x as unknown as PlaceRecord) : null
}
