export { cellNumber, readRecord, timeFactor, type MeasuredRecord, type RecordedTrace, type RecordTable } from './read-record.ts'
export { compareTurns, type TurnComparison } from './compare-turns.ts'
