import { afterAll, describe, expect, it } from 'vitest'
import { axeFindings } from './support/axe-findings.ts'
import { openExample } from './support/open-example.ts'
import { keptTicks } from './support/kept-ticks.ts'
import { closeBrowser, openPage } from './support/open-page.ts'

afterAll(closeBrowser)
const SLOW = { timeout: 15_000 }

describe('the make-up page', () => {
  it('takes what was weighed, with a decimal comma, and all strengths follow; it can be undone', async () => {
    const { page, context, faults } = await openExample('sudden-night', 'makeup', { locale: 'de-DE' })
    await page.locator('.bench-card').first().waitFor(SLOW)
    const iodate = page.locator('.take', { hasText: 'Kaliumiodat' })
    const gives = (): Promise<string> => iodate.locator('.take-gives').innerText()
    expect(await gives()).not.toContain('mehr als gewünscht')
    await iodate.getByLabel('wie gewogen, iodate').fill('1,416')
    await page.keyboard.press('Enter')
    // 1.416 g against 1.288 g (6 mmol of 214.00 g/mol at 99.7 %) is 10 % more.
    await expect.poll(gives, SLOW).toMatch(/9,9 %|10 %/)
    await page.getByRole('button', { name: 'Text des Dokuments' }).click()
    expect(await page.locator('.document-panel textarea').inputValue()).toContain('iodate: { in solution: 20 mmol/L, weighed: 1.416 g }')
    await page.getByRole('button', { name: /^Rückgängig|^Zurück/ }).click()
    await expect.poll(gives, SLOW).not.toContain('mehr als gewünscht')
    expect(await axeFindings(page)).toEqual([])
    expect(faults).toEqual([])
    await context.close()
  })

  it('scales by performances and writes it, strengths kept', async () => {
    const { page, context, faults } = await openExample('sudden-night', 'makeup')
    await page.locator('.bench-card').first().waitFor(SLOW)
    await page.locator('.makeup-scale > summary').click()
    await page.getByLabel('performances').fill('3')
    const button = page.getByRole('button', { name: 'Write into the recipe' })
    await button.waitFor(SLOW)
    // 250 mL poured, three times, and a tenth to spare.
    expect(await page.locator('.makeup-scale tbody').innerText()).toContain('825 mL')
    await button.click()
    await expect.poll(() => page.locator('.bench-card h2').first().innerText(), SLOW).toContain('825 mL')
    expect(await page.locator('.take-gives').first().innerText()).toContain('wanted')
    // A name is changed everywhere; a taken one and an empty one are refused beside the field.
    await page.getByRole('button', { name: 'Rename solution dusk' }).click()
    const name = page.getByRole('dialog').getByLabel('new name')
    for (const [wrong, why] of [
      ['day', 'there is a solution "day" already'],
      [' ', 'the name is empty'],
    ] as const) {
      await name.fill(wrong)
      await page.keyboard.press('Enter')
      await expect.poll(() => page.getByRole('dialog').getByRole('alert').innerText(), SLOW).toContain(why)
    }
    await name.fill('evening')
    await page.keyboard.press('Enter')
    await page.getByRole('button', { name: 'Rename solution evening' }).waitFor(SLOW)
    expect(await page.getByRole('dialog').count()).toBe(0)
    await page.getByRole('button', { name: 'Document text' }).click()
    expect(await page.locator('.document-panel textarea').inputValue()).toMatch(/evening: \{[\s\S]*mL of evening at/)
    // What was ticked stays over a reload, until it is taken back.
    const step = page.locator('.card-steps input').first()
    await step.check()
    await expect.poll(() => keptTicks(page), SLOW).toBe(1)
    await page.reload()
    await page.locator('.card-steps input:checked').first().waitFor(SLOW)
    await page.getByRole('button', { name: 'Take all ticks back' }).click()
    expect(await page.locator('.card-steps input:checked').count()).toBe(0)
    expect(faults).toEqual([])
    await context.close()
  })

  it('sets found recipes side by side', async () => {
    const { page, context, faults } = await openExample('tide-in-a-jar', 'makeup')
    await page.locator('.bench-card').first().waitFor(SLOW)
    await page.locator('.makeup-compare > summary').click()
    await page.locator('.makeup-compare table').waitFor(SLOW)
    expect(await page.locator('.makeup-compare thead').innerText()).toContain('sheet two')
    expect(await axeFindings(page)).toEqual([])
    expect(faults).toEqual([])
    await context.close()
  })
})

describe('a found recipe', () => {
  it('is read line by line, asks what the words leave open, and becomes a demonstration', async () => {
    const { page, context, faults } = await openPage('')
    await page.locator('summary', { hasText: 'From a found recipe' }).click(SLOW)
    await page
      .getByLabel('The recipe, in its own words')
      .fill(
        '20 mL 2.5 mol/L sulfuric acid and 4.3 g potassium iodate in 120 mL water; 1.5 g malonic acid and 0.4 g manganese sulfate in 60 mL water; 100 mL hydrogen peroxide 10 %',
      )
    await page.getByRole('button', { name: 'Read it line by line' }).click()
    await page.locator('.found-line').first().waitFor(SLOW)
    const make = page.getByRole('button', { name: 'Make it a demonstration' })
    expect(await make.isDisabled()).toBe(true)
    await expect.poll(() => page.locator('.found-line[data-open]').count(), SLOW).toBe(2)
    await page.getByLabel('10 % of what').selectOption({ label: 'g in 100 g of solution (w/w)' })
    await page.locator('.found-line[data-open]').getByLabel('hydrate').selectOption('monohydrate')
    await expect.poll(() => page.locator('.found-line[data-open]').count(), SLOW).toBe(0)
    expect(await axeFindings(page)).toEqual([])
    for (const box of await page.getByLabel('This line is right').all()) await box.check()
    await page.getByLabel('reaction it stands for').selectOption({ index: 1 })
    await page.locator('.found-backwards').waitFor(SLOW)
    await make.click()
    await page.locator('.makeup-page').waitFor(SLOW)
    await page.getByRole('button', { name: 'Document text' }).click()
    expect(await page.locator('.document-panel textarea').inputValue()).toMatch(/# Found recipe, in its own words:\n# {3}20 mL 2\.5 mol\/L/)
    expect(faults).toEqual([])
    await context.close()
  })
})
