/** Every page in every light: the accessibility checker, the policy, the width of a phone; and the whole day by keyboard. */
import { readdirSync, readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { afterAll, describe, expect, it } from 'vitest'
import { finished } from './support/finished.ts'
import { closeBrowser, openPage } from './support/open-page.ts'

afterAll(closeBrowser)

const axe = readFileSync(new URL('../../../node_modules/axe-core/axe.min.js', import.meta.url), 'utf8')
/** Stops that have a page. */
const pages = new URL('../src/pages/', import.meta.url)
const stops = readdirSync(pages).filter((stop) => readdirSync(new URL(`${stop}/`, pages)).some((file) => file.endsWith('-page.tsx')))

async function breaches(page: Page): Promise<readonly string[]> {
  await page.evaluate(axe)
  return page.evaluate(async () => {
    const { axe: checker } = globalThis as unknown as {
      axe: { run(context: Document, options: unknown): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    const found = await checker.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa'] })
    return found.violations.flatMap((v) => v.nodes.slice(0, 2).map((n) => `${v.id}: ${n.html.slice(0, 140)}`))
  })
}

/** As if chosen in the settings. */
const LIGHTS = ['light', 'dark', 'dim'] as const
const setLight = (page: Page, light: (typeof LIGHTS)[number]): Promise<void> =>
  page.evaluate((wanted) => {
    document.documentElement.dataset['theme'] = wanted
  }, light)
const goTo = (page: Page, stop: string, example: string): Promise<void> =>
  page.evaluate((hash) => {
    location.hash = hash
  }, `#/${stop}/example-${example}`)

describe('every page', () => {
  it('keeps the rules in every light, finished as it is', async () => {
    const { page, context, faults } = await openPage('#/bench/example-slow-fuse')
    const found: string[] = []
    for (const stop of stops) {
      await goTo(page, stop, 'slow-fuse')
      await finished(page, stop)
      for (const light of LIGHTS) {
        await setLight(page, light)
        found.push(...(await breaches(page)).map((breach) => `${stop}, ${light}: ${breach}`))
      }
    }
    expect(found).toEqual([])
    expect(faults).toEqual([])
    await context.close()
  })

  it('fits a screen of 360 px without scrolling sideways, three vessels too', async () => {
    const { page, context, faults } = await openPage('#/bench/example-three-lanterns', { viewport: { width: 360, height: 740 } })
    const wide: Record<string, number> = {}
    for (const stop of stops) {
      await goTo(page, stop, 'three-lanterns')
      await finished(page, stop)
      wide[stop] = await page.evaluate(() => document.documentElement.scrollWidth)
    }
    expect(wide).toEqual(Object.fromEntries(stops.map((stop) => [stop, 360])))
    expect(faults).toEqual([])
    await context.close()
  })
})

describe('the keyboard', () => {
  it('skips to the page, opens an example, walks the day, undoes and redoes', async () => {
    const { page, context, faults } = await openPage()
    await page.locator('.bench-page').waitFor()
    await page.keyboard.press('Tab')
    expect(await page.evaluate(() => document.activeElement?.className)).toBe('skip')
    await page.keyboard.press('Enter')
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('page-main')
    await page.keyboard.press('Tab')
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Begin one of your own')
    await page.keyboard.press('Tab')
    await page.keyboard.press('Tab')
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Amber beat')
    await page.keyboard.press('Enter')
    await expect.poll(() => page.evaluate(() => location.hash)).toBe('#/rehearsal/example-amber-beat')
    await page.getByRole('link', { name: /^Papers/ }).focus()
    await page.keyboard.press('Enter')
    await expect.poll(() => page.evaluate(() => location.hash)).toBe('#/papers/example-amber-beat')
    // Reading goes on at the page, not at the rail.
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('page-main')
    await page.getByRole('link', { name: /^Rehearsal/ }).focus()
    await page.keyboard.press('Enter')
    const celsius = page.getByRole('textbox', { name: /temperature/ })
    const before = await celsius.inputValue()
    await celsius.fill('17')
    await celsius.press('Enter')
    await page.getByRole('button', { name: 'Write into the recipe' }).focus()
    await page.keyboard.press('Enter')
    await page.waitForFunction(() => document.querySelector('.top-tools button:not(:disabled)')?.textContent === 'Undo')
    await page.locator('#page-main').focus()
    await page.keyboard.press('ControlOrMeta+z')
    await expect.poll(() => celsius.inputValue()).toBe(before)
    await page.keyboard.press('ControlOrMeta+Shift+z')
    await expect.poll(() => celsius.inputValue()).toBe('17')
    expect(faults).toEqual([])
    await context.close()
  })
})
