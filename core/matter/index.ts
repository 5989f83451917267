export type * from './substance.ts'
