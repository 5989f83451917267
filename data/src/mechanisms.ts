/** The mechanism files of the catalogue, as text: core parses them. */
import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { CatalogueFile } from '@beakertide/core/mechanism'
import { rows } from './rows.ts'

/** Folder of the files, from src/ or from dist/src/. */
const folder = fileURLToPath(new URL(import.meta.url.includes('/dist/') ? '../../mechanisms/' : '../mechanisms/', import.meta.url))

/** Every file, ordered by name. The name is that in the file's own "name:" line. */
export function readMechanismFiles(): readonly CatalogueFile[] {
  return readdirSync(folder)
    .filter((file) => file.endsWith('.yaml'))
    .sort()
    .map((file) => {
      const text = readFileSync(`${folder}${file}`, 'utf8')
      return { name: /^name: *(\S+) *$/m.exec(text)?.[1] ?? file, file: `data/mechanisms/${file}`, text }
    })
}

/** Plain names and the variant each stands for: "iodate-bisulfite" -> "iodate-bisulfite/lumped". */
export function readMechanismDefaults(): Readonly<Record<string, string>> {
  return Object.fromEntries(rows('mechanisms/defaults').map((row) => [row['name'] ?? '', row['variant'] ?? '']))
}
