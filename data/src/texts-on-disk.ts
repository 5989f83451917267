import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { Texts } from './texts.ts'

/** Folder of the data package, from src/ or from dist/src/. */
export const dataFolder = fileURLToPath(new URL(import.meta.url.includes('/dist/') ? '../../' : '../', import.meta.url))

/** The files of this package. */
export const textsOnDisk: Texts = {
  table: (name) => readFileSync(`${dataFolder}${name}.csv`, 'utf8'),
  mechanisms: () =>
    readdirSync(`${dataFolder}mechanisms`)
      .filter((file) => file.endsWith('.yaml'))
      .sort()
      .map((file) => ({ file, text: readFileSync(`${dataFolder}mechanisms/${file}`, 'utf8') })),
}
