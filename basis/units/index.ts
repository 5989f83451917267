export * from './units.ts'
export { type Quantity, type QuantityKind } from './quantity.ts'
