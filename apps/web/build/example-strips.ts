/**
 * Before the build: what the bench shows of each shipped example, computed by our own engine, so that a first visit sees finished
 * demonstrations at once. Computed again only when an example, a table or the engine changed.
 */
import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { facts, packTexts, textsOnDisk } from '@beakertide/data'
import { type BesideFile, type HouseFacts, openDocument, prepareDocument, rehearseVessel } from '@beakertide/demonstration'
import type { Plugin } from 'vite'
import type { ExampleHead } from '../src/pages/bench/example-head.ts'
import { pictureOf } from '../src/pages/bench/strip-picture.ts'
import { writeIfChanged } from './packed-facts.ts'

/** All built engine files and what they work on, as one fingerprint. */
function fingerprint(folder: string): string {
  const hash = createHash('sha256')
  for (const part of ['basis/dist', 'core/dist', 'demonstration/dist']) {
    const at = `${folder}${part}`
    for (const name of existsSync(at) ? readdirSync(at, { recursive: true, encoding: 'utf8' }).sort() : []) {
      if (name.endsWith('.js')) hash.update(name).update(readFileSync(`${at}/${name}`))
    }
  }
  hash.update(packTexts(textsOnDisk))
  for (const file of readdirSync(`${folder}examples/right`).sort()) hash.update(readFileSync(`${folder}examples/right/${file}`))
  for (const own of ['build/example-strips.ts', 'src/pages/bench/strip-picture.ts']) hash.update(readFileSync(`${folder}apps/web/${own}`))
  return hash.digest('hex')
}

const exampleFiles = (folder: string): readonly string[] =>
  readdirSync(`${folder}examples/right`)
    .filter((file) => file.endsWith('.yaml'))
    .sort()

/** A file beside an example; names come as bare names. */
function besideFile(path: string): ReturnType<BesideFile> {
  return existsSync(path) ? { ok: true, text: readFileSync(path, 'utf8') } : { ok: false, why: 'there is no such file' }
}

/** The heads of all examples; an example that does not open is a fault of the build. */
export function exampleHeads(folder: string): readonly ExampleHead[] {
  const house: HouseFacts = { day: facts.day(), mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
  return exampleFiles(folder).map((file) => {
    const text = readFileSync(`${folder}examples/right/${file}`, 'utf8')
    const opened = openDocument(text, file, (name) => besideFile(`${folder}examples/right/${name}`), house)
    const prepared = opened.ok ? prepareDocument(opened.value, house) : opened
    if (!prepared.ok) throw new Error(`${file} does not open: ${prepared.problems[0]?.what ?? ''}`)
    const { demonstration } = prepared.value
    const pictures = demonstration.vessels.flatMap((vessel) => {
      const run = rehearseVessel(prepared.value, vessel.id, house.day)
      return run.ok ? [pictureOf(run.value)] : []
    })
    return {
      name: file.replace(/\.yaml$/, ''),
      title: demonstration.title,
      story: demonstration.story.trim().replace(/\s+/g, ' ') || prepared.value.mechanism.title,
      reaction: 'name' in demonstration.reaction ? demonstration.reaction.name : '',
      beside: opened.ok ? Object.keys(opened.value.document.beside) : [],
      pictures,
    }
  })
}

/** Writes `examples.json` into the folder. */
export function exampleStrips(here: string): Plugin {
  const house = fileURLToPath(new URL('../../', `file://${here}`))
  return {
    name: 'example-strips',
    buildStart() {
      const path = `${here}generated/examples.json`
      mkdirSync(`${here}generated`, { recursive: true })
      const mark = fingerprint(house)
      const before = existsSync(path) ? (JSON.parse(readFileSync(path, 'utf8')) as { mark?: string }).mark : undefined
      if (before !== mark) writeIfChanged(path, JSON.stringify({ mark, heads: exampleHeads(house) }))
    },
  }
}
