export type * from './demonstration.ts'
