export type * from './clearing-plan.ts'
