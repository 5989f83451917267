/** The order in which keys are best written, for new ones. */
import type { YamlPath } from '@beakertide/basis/text'
import { bottleKeys } from './read-bottles.ts'
import { roomKeys } from './read-room.ts'
import { solutionKeys } from './read-solutions.ts'
import { pourKeys } from './read-vessels.ts'

/** As the whole examples are written: what it is, where, from what, how, and how it is looked at. */
const DOCUMENT = [
  'beakertide',
  'title',
  'story',
  'reaction',
  'room',
  'bottles',
  'solutions',
  'vessels',
  'view',
  'wanted',
  'rehearse for',
  'tools',
  'starch',
  'controls',
  'place',
  'found',
]
const VESSEL = ['like', 'holds', 'depth', 'stirred', 'closed', 'shaken', 'held before', 'count', 'starts at', 'pours']
const FOUND = ['source', 'bottles', 'solutions', 'pours']

const all = (keys: { readonly required: readonly string[]; readonly optional: readonly string[] }): readonly string[] => [
  ...keys.required,
  ...keys.optional,
]

/** Keys of the map at this path in their order; undefined where names are the writer's own. */
export function keyOrder(path: YamlPath): readonly string[] | undefined {
  if (path.length === 0) return DOCUMENT
  if (path[0] === 'room' && path.length === 1) return all(roomKeys)
  const inner = path[0] === 'found' ? path.slice(2) : path
  if (path[0] === 'found' && path.length === 2) return FOUND
  if (inner[0] === 'bottles' && inner.length === 2) return all(bottleKeys)
  if (inner[0] === 'solutions' && inner.length === 2) return all(solutionKeys)
  if (inner[0] === 'vessels' && inner.length === 2) return VESSEL
  if (inner[0] === 'vessels' && inner.length === 4) return all(pourKeys)
  return undefined
}

/** For the check that no key of a document is forgotten here. */
export const orderedKeys = { document: DOCUMENT, vessel: VESSEL }
