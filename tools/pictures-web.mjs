#!/usr/bin/env node
// `npm run pictures:web`: every page at 1280 and 390 px, light; the rehearsal in dark and dim too. Into docs/pictures/web/.
import { mkdirSync, readdirSync } from 'node:fs'
import { openSite } from './open-site.mjs'

const EXAMPLE = 'tide-in-a-jar'
const folder = 'docs/pictures/web'
const pages = new URL('../apps/web/src/pages/', import.meta.url)
const stops = readdirSync(pages).filter((stop) => readdirSync(new URL(`${stop}/`, pages)).some((file) => file.endsWith('-page.tsx')))
const shots = stops.flatMap((stop) => [
  { stop, width: 1280, height: 800, light: 'light' },
  { stop, width: 390, height: 844, light: 'light' },
])
shots.push({ stop: 'rehearsal', width: 1280, height: 800, light: 'dark' }, { stop: 'rehearsal', width: 1280, height: 800, light: 'dim' })

mkdirSync(folder, { recursive: true })
const { browser, address, close } = await openSite()
for (const { stop, width, height, light } of shots) {
  const context = await browser.newContext({ viewport: { width, height }, locale: 'en-GB', serviceWorkers: 'block' })
  await context.addInitScript((wanted) => localStorage.setItem('beakertide.light', wanted), light)
  const page = await context.newPage()
  await page.goto(`${address}#/${stop}/example-${EXAMPLE}`)
  await page.locator('main h1').first().waitFor()
  // Rehearsals, bands and previews come after the page itself; this is a picture, not a test.
  await page.waitForTimeout(4000)
  const name = `${stop}-${width}${light === 'light' ? '' : `-${light}`}.png`
  await page.screenshot({ path: `${folder}/${name}` })
  console.log(`${folder}/${name}`)
  await context.close()
}
await close()
