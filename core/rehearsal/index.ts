export type * from './rehearsal.ts'
