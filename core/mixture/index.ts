export type * from './pour.ts'
export type * from './inventory.ts'
