import { afterAll, describe, expect, it } from 'vitest'
import { axeFindings } from './support/axe-findings.ts'
import { openExample } from './support/open-example.ts'
import { closeBrowser } from './support/open-page.ts'

afterAll(closeBrowser)
const SLOW = { timeout: 15_000 }

describe('the text beside a page', () => {
  it('is in step both ways, marks the line of a problem and leads there, and undoes by keys', async () => {
    const { page, context, faults } = await openExample('sudden-night', 'makeup')
    await page.locator('.bench-card').first().waitFor(SLOW)
    await page.getByRole('button', { name: 'Document text' }).click()
    const area = page.getByLabel('Text of the document')
    await area.waitFor(SLOW)
    const before = await area.inputValue()
    await area.fill(before.replace('iodate: 20 mmol/L', 'iodat: 20 mmol/L'))
    await page.locator('.document-numbers [data-mark="problem"]').waitFor(SLOW)
    const line = before.split('\n').findIndex((l) => l.includes('day: {')) + 1
    expect(await page.locator('.document-numbers [data-mark="problem"]').innerText()).toContain(String(line))
    await page.locator('.document-said button').first().click()
    expect(await area.evaluate((a: HTMLTextAreaElement) => a.value.slice(0, a.selectionStart).split('\n').length)).toBe(line)
    expect(await axeFindings(page)).toEqual([])
    await page.keyboard.press('Control+z')
    await expect.poll(() => area.inputValue(), SLOW).toBe(before)
    await expect.poll(() => page.locator('.document-numbers [data-mark="problem"]').count(), SLOW).toBe(0)
    // From the text to the page.
    await area.fill(before.replace('iodate: 20 mmol/L', 'iodate: 40 mmol/L'))
    await expect
      .poll(() => page.locator('.take', { hasText: 'potassium iodate' }).locator('.take-gives').innerText(), SLOW)
      .toContain('wanted 0.04')
    expect(await area.inputValue()).toContain('# one metabisulfite gives two hydrogensulfite')
    expect(faults).toEqual([])
    await context.close()
  })
})
