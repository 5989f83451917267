import { afterAll, describe, expect, it } from 'vitest'
import { axeFindings } from './support/axe-findings.ts'
import { openExample } from './support/open-example.ts'
import { closeBrowser } from './support/open-page.ts'

afterAll(closeBrowser)
const SLOW = { timeout: 15_000 }

describe('the pour page', () => {
  it('changes volumes and times where they stand, and tells what does not fit beside the vessel', async () => {
    const { page, context, faults } = await openExample('tide-in-a-jar', 'pour')
    const jar = page.getByRole('region', { name: 'Vessel jar' })
    await jar.waitFor(SLOW)
    await jar.getByLabel('at', { exact: true }).nth(2).fill('12')
    await page.keyboard.press('Enter')
    await expect.poll(() => page.locator('.clock-list').innerText(), SLOW).toContain('0:12')
    await jar.getByLabel('holds to the brim').fill('0,5 L')
    await page.keyboard.press('Enter')
    await expect.poll(() => jar.locator('.field-fault').allInnerTexts(), SLOW).toHaveLength(1)
    expect(await page.locator('.vessels-figure [data-over]').count()).toBe(1)
    // What the document can say of a vessel has its field here: closed, shaken, what stood in it, how warm it is poured.
    await jar.getByLabel('top of the vessel').selectOption({ label: 'closed while it stands' })
    await jar.getByLabel('by hand').selectOption({ label: 'shaken' })
    await jar.getByRole('group', { name: 'stood in it before' }).getByLabel('C', { exact: true }).check()
    await jar.getByLabel('poured at').first().fill('25')
    await page.keyboard.press('Enter')
    await page.getByLabel('distance of the audience').fill('2,5 m')
    await page.keyboard.press('Enter')
    // What cannot be read is not written, and is told beside its field.
    await jar.getByLabel('depth looked through').fill('deep')
    await page.keyboard.press('Enter')
    expect(await jar.getByLabel('depth looked through').getAttribute('aria-invalid')).toBe('true')
    await page.getByRole('button', { name: 'Document text' }).click()
    const text = await page.locator('.document-panel textarea').inputValue()
    expect(text).toMatch(/pour: A, volume: 360 mL, temperature: 25 degC/)
    expect(text).toMatch(/400 mL of C, 240 mL of B at 12 s/)
    expect(text).toMatch(/closed: yes[\s\S]*shaken: yes[\s\S]*held before: \[C\]/)
    expect(text).toContain('audience: 2.5 m')
    expect(text).toContain('holds: 0.5 L')
    expect(text).toContain('depth: 9 cm')
    expect(text).toContain('# The peroxide was titrated')
    expect(await axeFindings(page)).toEqual([])
    expect(faults).toEqual([])
    await context.close()
  })

  it('adds a vessel that begins later, and orders pours by keyboard', async () => {
    const { page, context, faults } = await openExample('three-lanterns', 'pour', { viewport: { width: 390, height: 844 } })
    const left = page.getByRole('region', { name: 'Vessel left', exact: true })
    await left.waitFor(SLOW)
    // People who sit too near are a danger that stands where their distance is typed.
    await page.getByLabel('distance of the audience').fill('2 m')
    await page.keyboard.press('Enter')
    await expect.poll(() => page.locator('.pour-page .caution-block').innerText(), SLOW).toContain('2 m from the vessels')
    await page.getByLabel('distance of the audience').fill('4 m')
    await page.keyboard.press('Enter')
    await expect.poll(() => page.locator('.pour-page .caution-block').count(), SLOW).toBe(0)
    await left.getByRole('button', { name: 'Another like left, later' }).click()
    await page.getByRole('region', { name: 'Vessel left 2' }).waitFor(SLOW)
    await left.getByRole('button', { name: 'Down in the list: iodate water' }).focus()
    await page.keyboard.press('Enter')
    await expect.poll(() => left.locator('.pour-list select').first().inputValue(), SLOW).toBe('peroxide water')
    const wide = await page.evaluate(() => document.documentElement.scrollWidth)
    expect(wide).toBeLessThanOrEqual(390)
    // The bar at the foot of a phone lies over whatever is scrolled under it; on a screen as high as the page nothing is half covered.
    const height = await page.evaluate(() => document.documentElement.scrollHeight)
    await page.setViewportSize({ width: 390, height: height + 100 })
    expect(await axeFindings(page)).toEqual([])
    expect(faults).toEqual([])
    await context.close()
  })
})
