export { type Seen, type Source, type Sourced, type Rows, seenFrom, distinctSources } from './sourced.ts'
