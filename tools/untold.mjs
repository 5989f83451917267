#!/usr/bin/env node
// What the phrase book of a language cannot tell yet, by room, most frequent first. Reads the sources, needs no build.
//
//   node tools/untold.mjs de                     all examples (a few minutes)
//   node tools/untold.mjs de --only tide         examples whose name holds "tide"; "--only tables" for the tables alone
//   node tools/untold.mjs de --room cautions     one room
//   node tools/untold.mjs de --told              what was told, English and other, to be read by a person
import { createServer } from 'vite'

const [language = 'de'] = process.argv.slice(2)
const flag = (name) => {
  const at = process.argv.indexOf(`--${name}`)
  return at < 0 ? undefined : process.argv[at + 1]
}
const only = flag('only')
const server = await createServer({
  configFile: false,
  root: new URL('..', import.meta.url).pathname,
  logLevel: 'error',
  appType: 'custom',
  server: { middlewareMode: true, watch: null, ws: false, hmr: false },
  optimizeDeps: { noDiscovery: true },
  resolve: { conditions: ['source', 'node', 'import', 'default'] },
  ssr: {
    resolve: { conditions: ['source', 'node', 'import', 'default'], externalConditions: ['source', 'node', 'import', 'default'] },
    noExternal: [/@beakertide\//],
  },
})
try {
  const { exampleNames, sentencesOf, sentencesOfTables } = await server.ssrLoadModule('/examples/every-sentence.ts')
  const { bookIn, facts } = await server.ssrLoadModule('@beakertide/data')
  const book = bookIn(language, facts.matter().species)
  const told = new Map()
  /** How often a part stayed English, by room. */
  const untold = new Map()
  const own = new Set()
  /** The first sentence that a part was met in. */
  const whole = new Map()
  const collect = (room, text) => {
    const other = book.tell(text)
    if (other !== text) told.set(text, other)
    const counts = untold.get(room) ?? untold.set(room, new Map()).get(room)
    for (const part of book.unknownIn(text)) {
      counts.set(part, (counts.get(part) ?? 0) + 1)
      if (!whole.has(part)) whole.set(part, [text, other])
    }
  }
  if (only === undefined || only === 'tables') sentencesOfTables(collect)
  for (const name of exampleNames) {
    if (only !== undefined && !name.includes(only)) continue
    process.stderr.write(`${name}\n`)
    for (const word of sentencesOf(name, collect)) own.add(word)
  }
  if (process.argv.includes('--told')) for (const [english, other] of told) console.log(`${english}\n    ${other}`)
  else {
    for (const [room, counts] of [...untold].sort(([a], [b]) => (a < b ? -1 : 1))) {
      if (flag('room') !== undefined && flag('room') !== room) continue
      const parts = [...counts].filter(([text]) => !own.has(text)).sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1))
      console.log(`\n# ${room}: ${parts.length} untold`)
      for (const [text, count] of parts) {
        const [sentence, other] = whole.get(text) ?? [text, text]
        console.log(`${count}\t${text}${sentence === text ? '' : `\n\t  in: ${sentence}\n\t  as: ${other}`}`)
      }
    }
  }
} finally {
  await server.close()
}
