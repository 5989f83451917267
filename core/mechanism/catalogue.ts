/** Mechanisms by name: the files are given, plain names stand for a default variant, near misses are suggested. */
import { type Outcome, type Problem, refuse, type Span, suggestion } from '@beakertide/basis/problems'
import type { Mechanism } from './mechanism.ts'
import { parseMechanism } from './parse-mechanism.ts'

/** One file of the catalogue, not yet parsed. */
export interface CatalogueFile {
  /** "iodate-bisulfite/lumped" */
  readonly name: string
  /** For messages: "data/mechanisms/iodate-bisulfite-lumped.yaml". */
  readonly file: string
  readonly text: string
}

/**
 * The mechanism called `name`, or the variant that a plain name stands for in `defaults`. An unknown name is refused with
 * the nearest names; a plain name without a default with its variants.
 */
export function findMechanism(
  name: string,
  files: readonly CatalogueFile[],
  defaults: Readonly<Record<string, string>>,
  at: { readonly where?: string; readonly span?: Span } = {},
): Outcome<Mechanism> {
  const wanted = Object.hasOwn(defaults, name) ? defaults[name] : name
  const found = files.find((f) => f.name === wanted)
  if (found) return parseMechanism(found.text, found.file)
  const variants = files.filter((f) => f.name.startsWith(`${name}/`)).map((f) => f.name)
  const names = [...Object.keys(defaults), ...files.map((f) => f.name)]
  const problem: Problem = {
    code: 'mechanism/unknown',
    where: at.where ?? `mechanism "${name}"`,
    what: `no mechanism of the catalogue is called "${name.slice(0, 80)}"`,
    todo:
      variants.length > 0
        ? `choose one of ${variants.join(', ')}`
        : suggestion(name, names) || `known: ${Object.keys(defaults).join(', ')}; or name a mechanism file of your own`,
    ...(at.span ? { span: at.span } : {}),
  }
  return refuse(problem)
}
