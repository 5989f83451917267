/** One change of the document: a path of keys and positions ("bottles", "acid", "strength"), and the new value; undefined removes. */
export interface Edit {
  readonly path: readonly (string | number)[]
  readonly value: unknown
}
