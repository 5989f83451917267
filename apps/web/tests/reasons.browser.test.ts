import { afterAll, describe, expect, it } from 'vitest'
import { openExample } from './support/open-example.ts'
import { closeBrowser } from './support/open-page.ts'

afterAll(closeBrowser)

describe('the reasons page', () => {
  it('draws the network, and its widths follow the time', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'reasons')
    await page.locator('.network svg').waitFor()
    const widths = (): Promise<string> =>
      page.evaluate(() => [...document.querySelectorAll('.network-lines path')].map((p) => p.getAttribute('stroke-width')).join())
    await expect.poll(widths).toMatch(/\d/)
    const late = await widths()
    await page.locator('.time-panels').focus()
    await page.keyboard.press('Home')
    await expect.poll(widths).not.toBe(late)
    // Before the switch thiosulfate uses up what persulfate makes.
    await page.keyboard.press('PageUp')
    await expect
      .poll(() => page.locator('.network-step[data-ruling]').allTextContents())
      .toEqual(expect.arrayContaining([expect.stringContaining('P2')]))
    expect(faults).toEqual([])
    await context.close()
  })

  it('explains at three depths, computed from the run', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'reasons')
    await page.locator('.one-sentence').waitFor()
    expect(await page.locator('.one-sentence').innerText()).toMatch(/iodine.*thiosulfate/)
    await page.getByRole('radio', { name: 'A paragraph' }).check()
    expect(await page.locator('.paragraph').innerText()).toContain('P1')
    await page.getByRole('radio', { name: 'Equations and sources' }).check()
    expect(await page.locator('.steps').innerText()).toContain('kf [I₂] [I⁻] − kr [I₃⁻]')
    expect(await page.locator('.sources li').count()).toBeGreaterThan(0)
    expect(faults).toEqual([])
    await context.close()
  })

  it('says what it answers to, and saves figures and a film', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'reasons')
    await page.getByRole('button', { name: 'Try every ingredient' }).click()
    await page.locator('.bar').first().waitFor({ state: 'attached', timeout: 15_000 })
    expect(await page.locator('.answers').innerText()).toContain('1 K warmer')
    const figure = page.waitForEvent('download')
    await page.getByRole('button', { name: 'Save Network at this moment as SVG' }).click()
    expect((await figure).suggestedFilename()).toMatch(/\.svg$/)
    const film = page.waitForEvent('download')
    await page.locator('.film select').nth(1).selectOption('× 60')
    await page.getByRole('button', { name: 'Make the film' }).click()
    expect((await film).suggestedFilename()).toMatch(/\.webm$/)
    expect(faults).toEqual([])
    await context.close()
  })
})
