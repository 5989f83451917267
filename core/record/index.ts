export {
  cellNumber,
  clockSeconds,
  readRecord,
  timeFactor,
  type MeasuredRecord,
  type RecordedTrace,
  type RecordTable,
  type TimeAsked,
} from './read-record.ts'
export { MOST_COLUMNS, MOST_ROWS, readTable } from './read-table.ts'
export { compareTurns, type TurnComparison } from './compare-turns.ts'
export { swingsOf, timeAtPlace } from './swings.ts'
export { type Heading, type IntoUnit, intoUnit, readHeading, traceFor } from './headings.ts'
