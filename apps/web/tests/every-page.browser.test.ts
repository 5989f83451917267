/** Every page in every light: the accessibility checker, the policy, the width of a phone; and the whole day by keyboard. */
import { readdirSync, readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { afterAll, describe, expect, it } from 'vitest'
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

/** The page has come and the document has been read. */
async function settled(page: Page): Promise<void> {
  await page.locator('main h1').first().waitFor({ timeout: 15_000 })
  await expect.poll(() => page.locator('.page-wait').count()).toBe(0)
  await page.evaluate(() => document.fonts.ready.then(() => undefined))
}

describe.each(['light', 'dark', 'dim'])('in %s', (light) => {
  it.each(stops)('the page of %s keeps the rules', async (stop) => {
    const { page, context, address, faults } = await openPage()
    await page.evaluate((wanted) => localStorage.setItem('beakertide.light', wanted), light)
    await page.goto(`${address}?${light}#/${stop}/example-slow-fuse`)
    await settled(page)
    expect(await breaches(page)).toEqual([])
    expect(faults).toEqual([])
    await context.close()
  })
})

describe('a narrow screen', () => {
  it('shows every page at 360 px without scrolling sideways', async () => {
    const { page, context, faults } = await openPage('#/bench/example-slow-fuse', { viewport: { width: 360, height: 740 } })
    for (const stop of stops) {
      await page.evaluate((to) => {
        location.hash = `#/${to}/example-slow-fuse`
      }, stop)
      await settled(page)
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
      expect(`${stop} ${wide}`).toBe(`${stop} 0`)
    }
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
