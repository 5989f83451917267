export { rows } from './rows.ts'
export { facts } from './facts.ts'
