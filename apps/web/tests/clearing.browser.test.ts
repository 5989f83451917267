import AxeBuilder from 'axe-core'
import { afterAll, describe, expect, it } from 'vitest'
import { keptTicks } from './support/kept-ticks.ts'
import { openExample } from './support/open-example.ts'
import { closeBrowser } from './support/open-page.ts'

afterAll(closeBrowser)

/** A first plan may wait for the course of the vessel. */
const SLOW = { timeout: 15_000 }

describe('the clearing page', () => {
  it('follows the time of stopping and the reductant; the rule of the place stays', async () => {
    const { page, context, faults } = await openExample('tide-in-a-jar', 'clearing')
    await page.locator('.treatment-card').first().waitFor({ timeout: 15_000 })
    const steps = (): Promise<string> => page.locator('.treatment').innerText()
    expect(await page.locator('.clearing-rule').innerText()).toContain('Only if your local authority allows')
    const whole = await steps()
    await page.getByLabel('stopped at a time').check()
    await expect.poll(steps, SLOW).not.toBe(whole)
    expect(await page.locator('.clearing-band').innerText()).toMatch(/varied run/)
    const early = await steps()
    await page.locator('.clearing-stop input').focus()
    for (let i = 0; i < 5; i++) await page.keyboard.press('PageUp')
    await expect.poll(steps, SLOW).not.toBe(early)
    await page.getByRole('radio', { name: 'Take ascorbic acid' }).check()
    await expect.poll(steps, SLOW).toContain('ascorbic acid')
    expect(await page.locator('.clearing-rule').isVisible()).toBe(true)
    await page.evaluate(AxeBuilder.source)
    const broken = await page.evaluate(async () => {
      const axe = (globalThis as unknown as { axe: typeof AxeBuilder }).axe
      const result = await axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] })
      return result.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).join(', ')}`)
    })
    expect(broken).toEqual([])
    expect(faults).toEqual([])
    await context.close()
  })

  it('keeps the limits of a place over a reload and holds the liquid against them', async () => {
    const { page, context, faults } = await openExample('tide-in-a-jar', 'clearing')
    await page.locator('.treatment-card').first().waitFor({ timeout: 15_000 })
    await page.getByRole('button', { name: 'Enter the limits of a place' }).click()
    await page.getByLabel('Name of the place').fill('Town works')
    await page.getByLabel('manganese, at most').fill('many')
    await page.getByRole('button', { name: 'Save this place' }).click()
    expect(await page.locator('.place-form [role=alert]').isVisible()).toBe(true)
    await page.getByLabel('manganese, at most').fill('0,5')
    await page.getByRole('button', { name: 'Save this place' }).click()
    await page.locator('.place-answer').waitFor()
    expect(await page.locator('.place-answer').innerText()).toMatch(/manganese\s+≤ 0\.5 mg\/L[^]*outside/)
    // What was done stays ticked with it.
    await page.locator('.treatment-done input').first().check()
    await expect.poll(() => keptTicks(page), SLOW).toBe(1)
    await page.reload()
    await page.locator('.place-answer').waitFor({ timeout: 15_000 })
    await expect.poll(() => page.locator('.treatment-done input').first().isChecked(), SLOW).toBe(true)
    await page.getByRole('button', { name: 'Take all ticks back' }).click()
    expect(await page.locator('.treatment-done input:checked').count()).toBe(0)
    expect(await page.locator('.place-answer').innerText()).toContain('Town works')
    // A second place takes its turn; one is in force at a time, or none, also after a reload.
    await page.getByRole('button', { name: 'Enter the limits of a place' }).click()
    await page.getByLabel('Name of the place').fill('Farm tank')
    await page.getByLabel('manganese, at most').fill('500')
    await page.getByRole('button', { name: 'Save this place' }).click()
    const answer = page.locator('.place-answer')
    await expect.poll(async () => (await answer.count()) === 1 && (await answer.innerText()), SLOW).toContain('Farm tank')
    const choice = page.locator('.place-head select')
    expect(await choice.locator('option').allInnerTexts()).toEqual([expect.any(String), 'Farm tank', 'Town works'])
    await choice.selectOption({ label: 'Town works' })
    await expect.poll(async () => (await answer.count()) === 1 && (await answer.innerText()), SLOW).toContain('Town works')
    await choice.selectOption('')
    await expect.poll(() => answer.count(), SLOW).toBe(0)
    await page.reload()
    await page.locator('.treatment-card').first().waitFor({ timeout: 15_000 })
    await expect.poll(() => choice.locator('option').count(), SLOW).toBe(3)
    expect(await choice.inputValue()).toBe('')
    expect(faults).toEqual([])
    await context.close()
  })

  it('starts the look-again timer, which goes on over a change of page', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'clearing')
    await page.locator('.look-again').waitFor({ timeout: 15_000 })
    await page.locator('.look-again button').click()
    expect(await page.locator('.look-again').innerText()).toMatch(/Look again in (30:00|29:5\d)/)
    await page.evaluate(() => {
      location.hash = '#/papers/slow-fuse'
    })
    await page.locator('.papers-choices').waitFor()
    await page.evaluate(() => {
      location.hash = '#/clearing/slow-fuse'
    })
    await page.locator('.look-again').waitFor({ timeout: 15_000 })
    expect(await page.locator('.look-again').innerText()).toContain('Look again in')
    expect(faults).toEqual([])
    await context.close()
  })
})
