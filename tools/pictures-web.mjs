#!/usr/bin/env node
// `npm run pictures:web`: every page at 1280 and 390 px, light; some in dark, dim and at 2560 px too. Into docs/pictures/web/.
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
shots.push(
  { stop: 'rehearsal', width: 1280, height: 800, light: 'dark' },
  { stop: 'rehearsal', width: 1280, height: 800, light: 'dim' },
  { stop: 'bench', width: 1280, height: 800, light: 'dim' },
  { stop: 'rehearsal', width: 2560, height: 1440, light: 'light' },
  { stop: 'makeup', width: 2560, height: 1440, light: 'light' },
)

/** What has come when a page is finished, by its stop; a page without an entry is finished with its heading. */
const FINISHED = {
  bench: (page) => page.waitForFunction(() => document.querySelectorAll('.strip-picture').length > 6),
  shelf: async (page) => {
    await page.getByRole('button', { name: /^Take the \d+ bottles/ }).click()
    await page.locator('.shelf-fit li').first().waitFor()
  },
  makeup: (page) => page.locator('.bench-card').first().waitFor(),
  pour: (page) => page.locator('.vessels-figure').waitFor(),
  rehearsal: (page) => page.locator('.course-words').waitFor(),
  reasons: (page) => page.locator('.network svg').waitFor(),
  perform: (page) => page.locator('.read-cautions .caution-block').waitFor(),
  clearing: (page) => page.locator('.treatment-card').first().waitFor(),
  papers: (page) => page.locator('.paper-preview .paper').first().waitFor(),
}
/** ms; a first rehearsal on a busy machine. */
const LONGEST = 60_000
/** ms for what only settles: letters, the first drawing of a canvas. */
const SETTLING = 600

mkdirSync(folder, { recursive: true })
const { browser, address, close } = await openSite()
try {
  for (const { stop, width, height, light } of shots) {
    const context = await browser.newContext({ viewport: { width, height }, locale: 'en-GB', serviceWorkers: 'block' })
    await context.addInitScript((wanted) => localStorage.setItem('beakertide.light', wanted), light)
    const page = await context.newPage()
    page.setDefaultTimeout(LONGEST)
    await page.goto(`${address}#/${stop}/example-${EXAMPLE}`)
    await page.locator('main h1').first().waitFor()
    await page.locator('.caution-panel').waitFor()
    await FINISHED[stop]?.(page)
    await page.evaluate(() => document.fonts.ready.then(() => undefined))
    await page.waitForTimeout(SETTLING)
    // Whatever was pressed on the way there: the picture is of the head of the page.
    await page.evaluate(() => scrollTo(0, 0))
    const name = `${stop}-${width}${light === 'light' ? '' : `-${light}`}.png`
    await page.screenshot({ path: `${folder}/${name}` })
    console.log(`${folder}/${name}`)
    await context.close()
  }
} finally {
  await close()
}
