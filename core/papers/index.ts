export type * from './paper.ts'
