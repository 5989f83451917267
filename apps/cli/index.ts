export { main } from './main.ts'
export type { Door } from './terminal/door.ts'
