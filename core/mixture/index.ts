export type * from './pour.ts'
export type * from './inventory.ts'
export { settle } from './settle.ts'
export type { SettleOptions, Totals } from './settle-input.ts'
export {
  type EquilibriumFacts,
  type EquilibriumReaction,
  type EquilibriumTables,
  type ReactionKind,
  chargeFromName,
  readEquilibriumFacts,
} from './reactions.ts'
export { enthalpyOf, log10KAt } from './constants-at-temperature.ts'
export { DAVIES_LIMIT_MOL_PER_L, davies } from './activity.ts'
export { type MixFacts, inventoriesAtPours, mix, overdrawn, pouredAlone } from './mix.ts'
export { type PouredLiquid, volumeOfMix } from './volume-of-mixing.ts'
export { type OverMasters, overMasters } from './heat-of-mixing.ts'
