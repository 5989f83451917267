/** How far off people sit: what the document says of it, held against the least distance of demonstrations. */
import { AUDIENCE_DISTANCE_M, type Caution } from '@beakertide/core/cautions'
import { metresOf } from '@beakertide/core/papers'
import type { Demonstration } from './demonstration.ts'

/** What is said of a first row that sits too near; empty where the distance is enough, or not stated: then the standing lines speak alone. */
export function audienceCautions(room: Demonstration['room']): readonly Caution[] {
  const { audienceM } = room
  if (audienceM === undefined || audienceM >= AUDIENCE_DISTANCE_M) return []
  return [
    {
      code: 'cautions/audience-near',
      severity: 3,
      about: 'audience',
      what: `the nearest person who watches is ${metresOf(audienceM)} m from the vessels, less than ${AUDIENCE_DISTANCE_M} m: what sprays, foams over or is dropped can reach people without goggles`,
      instead: `Move the first row back to ${AUDIENCE_DISTANCE_M} m or more and state the distance again; until then nobody watches without goggles and a shield stands before the vessels.`,
      source: { source: 'demonstration guideline, 10 ft (R-ACS10 in data/hazards/ppe_firstaid_spill.csv)', seen: 'read' },
    },
  ]
}
