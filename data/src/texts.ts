/** Where the texts of the tables and mechanisms come from: the disk for the command line, one packed file for a page. */

export interface Texts {
  /** Text of a table by its place in data/, without ".csv": "tables/substances". */
  table(name: string): string
  /** File names and texts of data/mechanisms/, ordered by name. */
  mechanisms(): readonly MechanismText[]
}

export interface MechanismText {
  readonly file: string
  readonly text: string
}
