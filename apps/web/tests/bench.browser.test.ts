/** The bench: examples at once, my own, the bin, beginning, finding, both languages. */
import { readdirSync } from 'node:fs'
import { afterAll, describe, expect, it } from 'vitest'
import type { Page } from 'playwright-core'
import { closeBrowser, openPage } from './support/open-page.ts'

afterAll(closeBrowser)

const shipped = readdirSync(new URL('../../../examples/right/', import.meta.url)).filter((file) => file.endsWith('.yaml'))

const row = (page: Page, title: string) =>
  page.locator('.bench-row', { has: page.getByRole('button', { name: `Open ${title}`, exact: true }) })

describe('the bench', () => {
  it('shows the finished examples with their strips at the first visit, and finds among them', async () => {
    const { page, context, faults } = await openPage()
    await page.locator('.bench-row').first().waitFor()
    expect(await page.locator('.bench-row').count()).toBe(shipped.length)
    expect(await page.locator('.strip-picture').count()).toBeGreaterThanOrEqual(shipped.length)
    expect(await page.locator('.strip-picture').first().getAttribute('aria-label')).toMatch(/first change after/)
    await page.getByRole('searchbox').fill('peroxide malonate')
    const left = await page.locator('.bench-row').count()
    expect(left).toBeGreaterThan(0)
    expect(left).toBeLessThan(shipped.length)
    await page.getByRole('searchbox').fill('no such thing')
    expect(await page.locator('#page-main').innerText()).toMatch(/Nothing here has “no such thing” in it/)
    expect(faults).toEqual([])
    await context.close()
  })

  it('duplicates, deletes, brings back; an example deleted after a change is as shipped again', async () => {
    const { page, context, faults } = await openPage()
    await page.getByRole('button', { name: 'Duplicate Slow fuse' }).click()
    await row(page, 'Slow fuse, copy').waitFor()
    await expect.poll(() => row(page, 'Slow fuse, copy').locator('.strip-picture').count(), { timeout: 10_000 }).toBe(1)
    await page.getByRole('button', { name: 'Delete Slow fuse, copy' }).click()
    await expect.poll(() => row(page, 'Slow fuse, copy').count()).toBe(0)
    await page.locator('.notice').getByRole('button', { name: 'Bring it back' }).click()
    await row(page, 'Slow fuse, copy').waitFor()

    await page.getByRole('button', { name: 'Open Slow fuse', exact: true }).click()
    const celsius = page.getByRole('textbox', { name: /temperature/ })
    await celsius.fill('14')
    await celsius.press('Enter')
    await page.getByRole('button', { name: 'Write into the recipe' }).click()
    await page.getByRole('link', { name: /^Bench/ }).click()
    await row(page, 'Slow fuse').first().getByRole('button', { name: 'Delete Slow fuse' }).click()
    await page.getByText('Bin: one demonstration').waitFor()
    await page.getByRole('button', { name: 'Open Slow fuse', exact: true }).click()
    await expect.poll(() => celsius.inputValue()).toBe('25')
    expect(faults).toEqual([])
    await context.close()
  })

  it('begins from a mechanism, with or without an example of it', async () => {
    const { page, context, faults } = await openPage()
    await page.locator('summary', { hasText: 'From a mechanism' }).click()
    await page.getByRole('combobox', { name: /^Mechanism/ }).selectOption('iodate-peroxide-malonate/extended')
    await page.getByLabel('Title', { exact: true }).fill('My tide')
    await page.getByRole('button', { name: 'Begin', exact: true }).click()
    await expect.poll(() => page.locator('.top-title').innerText()).toBe('My tide')
    await page.getByRole('link', { name: /^Bench/ }).click()
    await page.locator('summary', { hasText: 'From a mechanism' }).click()
    await page.getByRole('combobox', { name: /^Mechanism/ }).selectOption('chlorite-iodide/elementary')
    await page.getByRole('button', { name: 'Begin', exact: true }).click()
    await expect.poll(() => page.locator('.top-title').innerText()).toBe('New demonstration')
    await page.locator('.problem-list li').first().waitFor()
    expect(faults).toEqual([])
    await context.close()
  })

  it('speaks German when it is asked to, with the comma', async () => {
    const { page, context, address, faults } = await openPage('#/bench', { locale: 'de-DE' })
    await expect.poll(() => page.locator('h1').innerText()).toBe('Arbeitstisch')
    await page.goto(`${address}#/rehearsal/example-slow-fuse`)
    const amount = page.getByRole('textbox').first()
    await expect.poll(() => amount.inputValue(), { timeout: 10_000 }).toMatch(/^\d+,\d+$/)
    // What is computed is told in German too, danger first of all, and told anew when the language changes.
    const cautions = page.locator('.caution-panel')
    await expect.poll(() => cautions.innerText()).toMatch(/Gefahr|Schaden/)
    expect(await cautions.innerText()).not.toMatch(/\b(?:the|and|with|goggles)\b/i)
    await page.locator('.top-settings summary').click()
    await page.getByLabel('Sprache').selectOption('en')
    await expect.poll(() => page.locator('html').getAttribute('lang')).toBe('en')
    await expect.poll(() => page.getByRole('link', { name: /^Rehearsal/ }).count()).toBe(1)
    await expect.poll(() => cautions.innerText()).toMatch(/goggles/i)
    expect(faults).toEqual([])
    await context.close()
  })
})
