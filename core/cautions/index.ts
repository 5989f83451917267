export type * from './caution.ts'
