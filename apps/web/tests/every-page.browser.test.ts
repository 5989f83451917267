/** Every page in every light: the accessibility checker, the policy, the width of a phone; and the whole day by keyboard. */
import { readdirSync, readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { afterAll, describe, expect, it } from 'vitest'
import { finished } from './support/finished.ts'
import { closeBrowser, type OpenPage, openPage } from './support/open-page.ts'

afterAll(closeBrowser)

const axe = readFileSync(new URL('../../../node_modules/axe-core/axe.min.js', import.meta.url), 'utf8')
/** Stops that have a page. */
const pages = new URL('../src/pages/', import.meta.url)
const stops = readdirSync(pages).filter((stop) => readdirSync(new URL(`${stop}/`, pages)).some((file) => file.endsWith('-page.tsx')))

/** Dim light differs from dark in its colours only. */
const COLOUR_RULES = { type: 'rule', values: ['color-contrast', 'link-in-text-block'] }
const ALL_RULES = ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa']
async function breaches(page: Page, rules: unknown): Promise<readonly string[]> {
  return page.evaluate(async (runOnly) => {
    const { axe: checker } = globalThis as unknown as {
      axe: { run(context: Document, options: unknown): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    const found = await checker.run(document, { runOnly })
    return found.violations.flatMap((v) => v.nodes.slice(0, 2).map((n) => `${v.id}: ${n.html.slice(0, 140)}`))
  }, rules)
}

/** What a screen reader walks along, where the checker says nothing: one page heading, levels in order, pictures and time told in words. */
const misread = (page: Page): Promise<readonly string[]> =>
  page.evaluate(() => {
    const said: string[] = []
    const seen = (selector: string): HTMLElement[] =>
      [...document.querySelectorAll<HTMLElement>(selector)].filter((e) => e.checkVisibility())
    const [first, ...more] = seen('h1')
    if (!first || more.length > 0) said.push(`${more.length + (first ? 1 : 0)} page headings`)
    if (seen('main').length !== 1 || seen('nav').length !== 1 || seen('header.top-bar').length !== 1) said.push('landmarks are missing')
    const levels = seen('h1, h2, h3, h4, h5').map((h) => Number(h.tagName[1]))
    if (levels.some((level, i) => level > (levels[i - 1] ?? 0) + 1)) said.push(`headings jump: ${levels.join(' ')}`)
    for (const canvas of seen('canvas')) {
      const told = canvas.closest('[role="slider"][aria-describedby], [aria-hidden="true"], [aria-label]')
      if (told === null) said.push(`a picture without words: ${canvas.outerHTML.slice(0, 120)}`)
    }
    for (const slider of seen('[role="slider"]')) {
      const words = document.getElementById(slider.getAttribute('aria-describedby') ?? '')?.textContent ?? ''
      if (!/ from \d/.test(words)) said.push(`the colours of the strip are not told: "${words}"`)
    }
    // What is counted or timed would be read out at every step.
    for (const live of seen('[role="status"], [role="alert"], [aria-live="polite"]'))
      if (live.querySelector('progress, .long-count, .clock') !== null) said.push(`a chatty place: ${live.outerHTML.slice(0, 120)}`)
    return said
  })

/** With letters of double size, how much wider than the window the page is, px. */
const tooWide = (page: Page): Promise<number> =>
  page.evaluate(() => {
    const root = document.documentElement
    root.style.fontSize = '200%'
    const over = root.scrollWidth - root.clientWidth
    root.style.fontSize = ''
    return over
  })

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
  // One visit for all: the checker is given to it once.
  let visit: OpenPage | undefined
  it.each(stops)('keeps the rules in every light: %s', async (stop) => {
    if (visit === undefined) {
      visit = await openPage('#/bench/example-slow-fuse')
      await visit.page.evaluate(axe)
    }
    const { page, faults } = visit
    await goTo(page, stop, 'slow-fuse')
    await finished(page, stop)
    const found: string[] = []
    for (const light of LIGHTS) {
      await setLight(page, light)
      found.push(...(await breaches(page, light === 'dim' ? COLOUR_RULES : ALL_RULES)).map((breach) => `${light}: ${breach}`))
    }
    found.push(...(await misread(page)))
    const over = await tooWide(page)
    if (over > 0) found.push(`${over} px too wide with double letters`)
    expect(found).toEqual([])
    expect(faults).toEqual([])
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

describe('a dark room', () => {
  it('gets predicted colours at less than half of each channel and is told so; nothing moves where none is wanted', async () => {
    const { page, context, address, faults } = await openPage('', { reducedMotion: 'reduce' })
    /** The brightest channel near the beginning of the strip: this liquid begins colourless. */
    const brightest = (): Promise<number> =>
      page.evaluate(() => {
        const canvas = document.querySelector<HTMLCanvasElement>('.time-panels canvas.strip')
        const data = canvas?.getContext('2d')?.getImageData(80, 4, 40, 1).data ?? []
        return Math.max(...[...data].filter((_, i) => i % 4 !== 3))
      })
    await page.goto(`${address}#/rehearsal/example-slow-fuse`)
    await finished(page, 'rehearsal')
    await expect.poll(brightest).toBeGreaterThan(240)
    expect(await page.locator('.dim-note').count()).toBe(0)
    await page.locator('.top-settings > summary').click()
    await page.getByLabel('Light of the page').selectOption('dim')
    await expect.poll(brightest).toBeLessThan(120)
    expect(await page.locator('.dim-note').innerText()).toMatch(/a sixth of their light/)
    expect(await page.locator('.transport').innerText()).toMatch(/nothing moves until you press Play/)
    expect(await page.evaluate(() => document.getAnimations().length)).toBe(0)
    await page.getByRole('button', { name: 'Play' }).click()
    await expect.poll(() => page.locator('.transport .clock strong').innerText()).not.toBe('0:00')
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
