export type * from './mechanism.ts'
export type * from './network.ts'
