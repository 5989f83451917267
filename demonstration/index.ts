export type * from './demonstration.ts'
export { type KnownFacts, parseDemonstration } from './parse-demonstration.ts'
export { lights } from './lights.ts'
export { currentVersion } from './versions.ts'
