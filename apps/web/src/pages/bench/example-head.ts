import type { StripPicture } from './strip-picture.ts'

/** One shipped example as the bench lists it. */
export interface ExampleHead {
  /** File name without its ending. */
  readonly name: string
  readonly title: string
  /** Its own story, or what its reaction is called. */
  readonly story: string
  readonly reaction: string
  /** Names of the files beside it that it needs. */
  readonly beside: readonly string[]
  readonly pictures: readonly StripPicture[]
}
