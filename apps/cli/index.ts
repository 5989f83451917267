export { main } from './main.ts'
export { bookFor, dayFacts, openDocument, openPrepared, type OpenDocument } from './desk.ts'
export { type Door, type Read, realDoor, type Written } from './terminal/door.ts'
