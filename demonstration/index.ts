export type * from './demonstration.ts'
export { type KnownFacts, parseDemonstration } from './parse-demonstration.ts'
export { lights } from './lights.ts'
export { currentVersion } from './versions.ts'
export {
  bandOfVessel,
  bandRehearsal,
  type BandOptions,
  clearVessel,
  type DayFacts,
  type PouredVessel,
  type Prepared,
  prepare,
  type RehearsalOptions,
  rehearseVessel,
  requestFor,
  usualRehearsal,
} from './day.ts'
export { type Reasons, reasonsOf, type ReasonsWish } from './reasons-of.ts'
