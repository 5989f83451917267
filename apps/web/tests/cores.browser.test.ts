/** Long work on a computer of several cores: spread over workers, stopped at once, and nothing stays running. */
import { afterAll, describe, expect, it } from 'vitest'
import { closeBrowser, openPage, theBrowser } from './support/open-page.ts'

afterAll(closeBrowser)

describe('long work on four cores', () => {
  it('is spread over job workers, and ends with them when it is cancelled', async () => {
    const { page, context, address, faults } = await openPage()
    const session = await context.newCDPSession(page)
    await session.send('Emulation.setHardwareConcurrencyOverride', { hardwareConcurrency: 4 })
    await page.goto(`${address}?four#/rehearsal/example-tide-in-a-jar`)
    await page.locator('.course-words').waitFor({ timeout: 15_000 })
    const targets = await (await theBrowser()).newBrowserCDPSession()
    const jobWorkers = async (): Promise<number> =>
      (await targets.send('Target.getTargets', { filter: [{}] })).targetInfos.filter((t) => /job\.worker/.test(`${t.url}`)).length
    await page.getByRole('button', { name: 'Draw the carpet' }).click()
    await expect.poll(jobWorkers, { timeout: 15_000 }).toBeGreaterThan(1)
    await page
      .getByRole('button', { name: /^Cancel/ })
      .last()
      .click()
    await expect.poll(jobWorkers, { timeout: 5000 }).toBe(0)
    await expect.poll(() => page.getByRole('button', { name: 'Draw the carpet' }).isEnabled()).toBe(true)
    expect(faults).toEqual([])
    await context.close()
  })
})
