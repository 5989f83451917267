/** A printable document as plain blocks; doors draw it as HTML, terminal text or PDF. */
export type Block =
  | { readonly block: 'heading'; readonly level: 1 | 2 | 3; readonly text: string }
  | { readonly block: 'danger'; readonly lines: readonly string[] }
  | { readonly block: 'text'; readonly text: string }
  | { readonly block: 'list'; readonly ordered: boolean; readonly items: readonly string[] }
  | {
      readonly block: 'table'
      readonly columns: readonly { readonly title: string; readonly align: 'left' | 'right' }[]
      readonly rows: readonly (readonly string[])[]
      readonly caption?: string
    }
  | {
      readonly block: 'strip'
      readonly caption: string
      readonly samples: readonly { readonly timeS: number; readonly hex: string; readonly name: string }[]
      readonly turns: readonly { readonly timeS: number; readonly to: string }[]
    }
  | {
      readonly block: 'traces'
      readonly caption: string
      readonly traces: readonly {
        readonly name: string
        readonly unit: string
        readonly timesS: readonly number[]
        readonly values: readonly number[]
      }[]
    }

export interface Paper {
  readonly kind: string
  readonly title: string
  readonly blocks: readonly Block[]
}
