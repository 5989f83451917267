import { afterAll, describe, expect, it } from 'vitest'
import { axeFindings } from './support/axe-findings.ts'
import { openExample } from './support/open-example.ts'
import { closeBrowser } from './support/open-page.ts'

afterAll(closeBrowser)
const SLOW = { timeout: 15_000 }

describe('the shelf', () => {
  it('keeps bottles over a reload, assays one, and lends it to the open demonstration', async () => {
    const { page, context, faults } = await openExample('rising-foam', 'shelf')
    await page.getByRole('button', { name: /^Add a bottle/ }).click(SLOW)
    // On with the label at once.
    expect(await page.evaluate(() => document.activeElement?.closest('.text-field')?.textContent)).toContain('substance')
    await page.keyboard.type('hydrogen peroxide')
    await page.keyboard.press('Tab')
    await page.getByLabel('strength', { exact: true }).fill('30 % w/w')
    await page.keyboard.press('Enter')
    // What is being typed stays while what was typed before is kept, read and looked at.
    await page.getByLabel('how much is left').fill('400 m')
    await page.locator('.bottle-hazard').waitFor(SLOW)
    await expect.poll(() => page.locator('.shelf-fit li').count(), SLOW).toBeGreaterThan(0)
    expect(await page.getByLabel('how much is left').inputValue()).toBe('400 m')
    await page.getByLabel('how much is left').fill('400 mL')
    await page.locator('.bottle-assay > summary').click()
    const readings = {
      'taken from the bottle': '10',
      'diluted to': '250',
      'titrated of it': '5',
      'strength of the titrant': '0,02',
      'titrant used': '34,2',
      blank: '0,05',
    }
    for (const [label, value] of Object.entries(readings)) {
      await page.getByLabel(label, { exact: true }).fill(value)
      await page.keyboard.press('Enter')
    }
    // (34.2 - 0.05) mL x 0.02 mol/L x 5/2 in 5 mL of a 25-fold dilution: 8.54 mol/L.
    await expect.poll(() => page.locator('.assay-gives').innerText(), SLOW).toContain('8.54')
    await page.getByRole('button', { name: 'Write the assay on the bottle' }).click()
    await expect.poll(() => page.locator('.bottle-line').innerText(), SLOW).toContain('assayed')
    expect(await axeFindings(page)).toEqual([])
    await page.getByRole('button', { name: 'Use it as “peroxide” in the open demonstration' }).click()
    await page.getByRole('button', { name: 'In use as “peroxide” in the open demonstration' }).waitFor()
    await page.getByRole('button', { name: 'Document text' }).click()
    await expect.poll(() => page.locator('.document-panel textarea').inputValue(), SLOW).toContain('used: 34.2 mL')
    await page.reload()
    await expect.poll(() => page.locator('.shelf-bottle .bottle-line').innerText(), SLOW).toMatch(/8\.54.*400 mL left/)
    expect(faults).toEqual([])
    await context.close()
  })

  it('says which demonstrations can be done and what is missing for the others', async () => {
    const { page, context, faults } = await openExample('sudden-night', 'shelf')
    await page.getByRole('button', { name: /^Take the 3 bottles/ }).click(SLOW)
    await expect.poll(() => page.locator('.shelf-bottle').count(), SLOW).toBe(3)
    // Nothing is left to take over; whoever pressed by keyboard stands at the first bottle.
    await expect.poll(() => page.evaluate(() => document.activeElement?.closest('.shelf-bottle') !== null), SLOW).toBe(true)
    expect(await page.getByRole('button', { name: /^Take the/ }).count()).toBe(0)
    await page.locator('.shelf-fit li').first().waitFor(SLOW)
    const foam = page.locator('.shelf-fit li', { hasText: 'Rising foam' })
    await expect.poll(() => foam.innerText(), SLOW).toContain('no potassium iodide')
    await page.locator('.shelf-bottle summary').first().click()
    await page.getByRole('button', { name: 'Take it off the shelf' }).click()
    await expect.poll(() => page.locator('.shelf-bottle').count(), SLOW).toBe(2)
    await page.getByRole('button', { name: 'Put it back' }).click()
    await expect.poll(() => page.locator('.shelf-bottle').count(), SLOW).toBe(3)
    expect(faults).toEqual([])
    await context.close()
  })
})
