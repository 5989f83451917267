#!/usr/bin/env node
// Draws the whole clearing sheet of three examples into docs/pictures/clearing-NAME.png and writes the plans they print as
// docs/clearing/NAME.json, both from what the program really computes. Needs an installed Chromium.
// Usage: npm run build && node tools/clearing-pictures.mjs
import { spawnSync } from 'node:child_process'
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { chromium } from 'playwright-core'
import { clearingSheet, htmlPage, speciesBook } from '@beakertide/core/papers'
import { facts } from '@beakertide/data'
import { clearVessel, openDocument, parsePlace, prepareDocument, rehearseVessel } from '@beakertide/demonstration'

const here = (path) => new URL(`../${path}`, import.meta.url)
const WIDTH_PX = 1000
/** A made-up place, so that limits applied are seen too. */
const place = `name: a town school
source: made-up limits for this picture
limits: { pH: 6 to 9.5, sulfate: 600 mg/L, manganese: 4 mg/L, temperature: 35 degC }
`
const examples = [
  { name: 'tide-in-a-jar', place },
  { name: 'sudden-night', place: null },
  { name: 'fading-violet', place: null },
]

const program = ['chromium', 'chromium-browser', 'google-chrome']
  .map((p) => spawnSync('which', [p], { encoding: 'utf8' }).stdout.trim())
  .find((p) => p !== '')
if (!program) {
  console.error('No Chromium is installed. On Debian or Ubuntu: apt-get install -y chromium')
  process.exit(2)
}
const valueOf = (outcome) => {
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems, null, 1))
  return outcome.value
}
const house = { day: facts.day(), mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
const none = () => ({ ok: false, why: 'there is no such file' })

mkdirSync(here('docs/clearing'), { recursive: true })
const browser = await chromium.launch({ executablePath: program })
const page = await browser.newPage({ viewport: { width: WIDTH_PX, height: 800 } })
for (const example of examples) {
  const text = readFileSync(here(`examples/right/${example.name}.yaml`), 'utf8')
  const prepared = valueOf(prepareDocument(valueOf(openDocument(text, example.name, none, house)), house))
  const options = example.place === null ? {} : { place: valueOf(parsePlace(example.place, 'place')) }
  const plans = prepared.demonstration.vessels.map((v) =>
    valueOf(clearVessel(prepared, valueOf(rehearseVessel(prepared, v.id, house.day)), house.day, options)),
  )
  const book = speciesBook(house.day.matter.species, [...prepared.mechanism.species, ...(prepared.mechanism.netSpecies ?? [])])
  const sheet = clearingSheet(prepared.demonstration.title, plans, prepared.cautions, book)
  await page.setContent(htmlPage(prepared.demonstration.title, [sheet]))
  await page.screenshot({ path: here(`docs/pictures/clearing-${example.name}.png`).pathname, fullPage: true })
  writeFileSync(here(`docs/clearing/${example.name}.json`), `${JSON.stringify(plans[0], null, 1)}\n`)
  console.log(`wrote clearing-${example.name}.png and ${example.name}.json`)
}
await browser.close()
spawnSync('npx', ['biome', 'format', '--write', here('docs/clearing').pathname], { stdio: 'ignore' })
