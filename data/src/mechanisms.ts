/** The mechanism files of the catalogue, as text: core parses them. */
import type { CatalogueFile } from '@beakertide/core/mechanism'
import type { RowsOf } from './rows.ts'
import type { Texts } from './texts.ts'

/** Every file, ordered by name. The name is that in the file's own "name:" line. */
export function readMechanismFiles(texts: Texts): readonly CatalogueFile[] {
  return texts
    .mechanisms()
    .map(({ file, text }) => ({ name: /^name: *(\S+) *$/m.exec(text)?.[1] ?? file, file: `data/mechanisms/${file}`, text }))
}

/** Plain names and the variant each stands for: "iodate-bisulfite" -> "iodate-bisulfite/lumped". */
export function readMechanismDefaults(rows: RowsOf): Readonly<Record<string, string>> {
  return Object.fromEntries(rows('mechanisms/defaults').map((row) => [row['name'] ?? '', row['variant'] ?? '']))
}
