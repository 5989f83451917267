export type * from './recipe.ts'
export type * from './make-up.ts'
