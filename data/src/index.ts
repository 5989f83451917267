export { rows } from './rows.ts'
