/** Reading a measured record, as the page asks for it. Plain data. */
import type { Problem } from '@beakertide/basis/problems'
import type { TimeAsked } from '@beakertide/core/record'

export type { TimeAsked } from '@beakertide/core/record'

/** A larger file is not read: 200,000 rows of a logger have less. */
export const MOST_RECORD_BYTES = 20_000_000

/** A record with one row for each stamp. */
export interface ReadRecord {
  readonly from: string
  readonly timeColumn: string
  /** The first stamp as written, s. */
  readonly startsAtS: number
  /** Spacing that fits rounded stamps, s; null where they are not even. */
  readonly evenSpacingS: number | null
  /** s from the first stamp. */
  readonly timesS: Float64Array
  /** Columns with numbers, in their order. */
  readonly series: readonly {
    readonly name: string
    readonly unit: string
    /** NaN where the cell is empty. */
    readonly values: Float64Array
    /** Where it swings, as fractional rows. */
    readonly swingsAt: readonly number[]
  }[]
}

/** `columns`: the headings met, where only the time is unclear, so that it can be asked for. */
export type RecordAnswer =
  | { readonly ok: true; readonly value: ReadRecord; readonly warnings: readonly Problem[] }
  | { readonly ok: false; readonly problems: readonly Problem[]; readonly columns?: readonly string[] }

export interface RecordWork {
  /** A file or a pasted text. */
  readRecord(source: Blob | string, from: string, asked: TimeAsked): Promise<RecordAnswer>
}
