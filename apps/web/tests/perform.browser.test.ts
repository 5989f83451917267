import AxeBuilder from 'axe-core'
import type { Page } from 'playwright-core'
import { afterAll, describe, expect, it } from 'vitest'
import { openExample } from './support/open-example.ts'
import { closeBrowser } from './support/open-page.ts'

afterAll(closeBrowser)

/** A busy machine takes longer than the usual second. */
const SLOW = { timeout: 15_000 }

/** Rules broken on the page, by name and place. Evaluated through the browser's own channel, which the page's policy does not bind. */
async function accessibilityFaults(page: Page): Promise<readonly string[]> {
  await page.evaluate(AxeBuilder.source)
  return page.evaluate(async () => {
    const axe = (globalThis as unknown as { axe: typeof AxeBuilder }).axe
    const result = await axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] })
    return result.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).join(', ')}`)
  })
}

async function toTheStage(page: Page): Promise<void> {
  const go = page.locator('.go-on-stage')
  await go.waitFor()
  await page.locator('.go-on p').filter({ hasText: 'First change' }).waitFor({ timeout: 15_000 })
  expect(await go.isDisabled()).toBe(true)
  await page.locator('.read-cautions input[type=checkbox]').check()
  await go.click()
  await page.locator('dialog.stage[open]').waitFor()
}

/** Two presses of one hand count once, so a change is tapped only when the clock has moved on. */
async function clockRuns(page: Page): Promise<void> {
  await expect.poll(() => page.locator('.stage-clock').innerText(), SLOW).not.toBe('0:00')
}

describe('the perform page', () => {
  it('keeps the stage shut until the cautions are read, and counts by the space bar', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'perform')
    await toTheStage(page)
    // Over the clock stand the two gravest, each with what to do instead.
    const heads = await page.locator('.stage-danger > p').allInnerTexts()
    expect(heads).toHaveLength(2)
    for (const head of heads) expect(head).toMatch(/(Hood or strong ventilation|gloves|hood)/)
    await page.keyboard.press('Space')
    await clockRuns(page)
    await page.getByRole('button', { name: 'Poured' }).click()
    await page.keyboard.press('Space')
    await expect.poll(() => page.locator('.stage-seen-count').innerText(), SLOW).toBe('1 seen')
    await page.keyboard.press('Backspace')
    await expect.poll(() => page.locator('.stage-seen-count').innerText(), SLOW).toBe('0 seen')
    // Escape closes nothing while the clock runs.
    await page.keyboard.press('Escape')
    await page.keyboard.press('Escape')
    expect(await page.locator('dialog.stage').getAttribute('open')).not.toBeNull()
    expect(await accessibilityFaults(page)).toEqual([])
    expect(faults).toEqual([])
    await context.close()
  })

  it('takes taps by touch on keys for gloves, stores the run, and goes on after a reload', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'perform', {
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      isMobile: true,
    })
    await toTheStage(page)
    await page.locator('.stage-start').tap()
    await clockRuns(page)
    await page.locator('.stage-seen').tap()
    await expect.poll(() => page.locator('.stage-seen-count').innerText(), SLOW).toBe('1 seen')
    const sizes = await page
      .locator('dialog.stage button')
      .evaluateAll((all) => all.map((b) => Math.min(b.clientWidth, b.clientHeight) + 4))
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(64)
    await page.reload()
    await page.locator('.read-cautions input[type=checkbox]').check()
    await page.getByRole('button', { name: 'Go on with the clock that is running' }).click()
    await expect.poll(() => page.locator('.stage-seen-count').innerText(), SLOW).toBe('1 seen')
    await page.getByRole('button', { name: 'Stop', exact: true }).tap()
    await page.getByRole('button', { name: 'Stop and store' }).tap()
    await page.locator('.run-review').waitFor()
    expect(await page.locator('.run-sentences').innerText()).toMatch(/first change came .* earlier than predicted/)
    expect(await page.locator('.earlier-runs').innerText()).toContain('1 change seen')
    expect(await accessibilityFaults(page)).toEqual([])
    // The stored run with its taps, on another day.
    const seen = await page.locator('.run-review tbody, .run-sentences').allInnerTexts()
    await page.reload()
    await page.locator('.earlier-runs').getByRole('button', { name: 'Look at it' }).click({ timeout: 15_000 })
    await page.locator('.run-review').waitFor()
    expect(await page.locator('.run-review tbody, .run-sentences').allInnerTexts()).toEqual(seen)
    expect(await page.locator('.run-review .run-seen').count()).toBe(1)
    expect(faults).toEqual([])
    await context.close()
  })

  it('names the mistakes that would explain what was seen', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'perform')
    await toTheStage(page)
    await page.keyboard.press('Space')
    await clockRuns(page)
    await page.getByRole('button', { name: 'Poured' }).click()
    await page.keyboard.press('Space')
    await expect.poll(() => page.locator('.stage-seen-count').innerText(), SLOW).toBe('1 seen')
    await page.getByRole('button', { name: 'Stop', exact: true }).click()
    await page.getByRole('button', { name: 'Stop and store' }).click()
    await page.getByRole('button', { name: 'Which mistake explains it?' }).click()
    await page.locator('.run-found li').first().waitFor({ timeout: 15_000 })
    expect(await page.locator('.run-found').innerText()).toContain('first change after')
    expect(faults).toEqual([])
    await context.close()
  })
})
