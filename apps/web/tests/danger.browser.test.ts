/** Danger comes first on every page: above what it belongs to, whole, and on paper too. */
import { readFile } from 'node:fs/promises'
import type { Page } from 'playwright-core'
import { afterAll, describe, expect, it } from 'vitest'
import { axeFindings } from './support/axe-findings.ts'
import { openExample } from './support/open-example.ts'
import { closeBrowser, openPage } from './support/open-page.ts'

afterAll(closeBrowser)
const SLOW = { timeout: 15_000 }

/** True when the first element found by `above` stands before the first found by `below`, both on the page. */
const stands = (page: Page, above: string, below: string): Promise<boolean> =>
  page.evaluate(
    ([a, b]) => {
      const [first, second] = [document.querySelector(a), document.querySelector(b)]
      if (!first || !second) return false
      return (first.compareDocumentPosition(second) & Node.DOCUMENT_POSITION_FOLLOWING) !== 0
    },
    [above, below] as const,
  )

describe('dangers of clearing', () => {
  it('stand above the ways and the steps, and the rail says to look', async () => {
    const { page, context, faults } = await openExample('tide-in-a-jar', 'clearing')
    await page.locator('.treatment-card').first().waitFor(SLOW)
    const lines = await page.locator('.caution-block li').allInnerTexts()
    expect(lines.join('\n')).toMatch(/Can kill or maim.*peroxide is left: .* bar/)
    expect(lines.join('\n')).toMatch(/at once, undiluted/)
    for (const below of ['.ways', '.streams', '.treatment-card'])
      expect(`${below} ${await stands(page, '.caution-block', below)}`).toBe(`${below} true`)
    const stop = page.getByRole('link', { name: /^Clearing/ })
    expect(await stop.getAttribute('data-state')).toBe('look')
    expect(await stop.innerText()).toMatch(/\d+ grave dangers in clearing/)
    expect(await axeFindings(page)).toEqual([])
    expect(faults).toEqual([])
    await context.close()
  })

  it('are read with the others before a performance, and the checklist leads to the steps', async () => {
    const { page, context, faults } = await openExample('tide-in-a-jar', 'perform')
    await page.locator('.read-cautions .caution-block').waitFor(SLOW)
    expect(await page.locator('.read-cautions .caution-block').innerText()).toContain('peroxide is left')
    // The box that says they were read stands under them.
    expect(await page.locator('.read-cautions .caution-block ~ .big-check input').isEnabled()).toBe(true)
    expect(await page.locator('.stand-ready .caution-block').count()).toBe(0)
    await page.getByRole('link', { name: 'To the steps of clearing' }).click()
    await page.locator('.treatment-card').first().waitFor(SLOW)
    expect(faults).toEqual([])
    await context.close()
  })
})

describe('a refused document', () => {
  it('has no drawing and no order of pours', async () => {
    const { page, context, faults } = await openPage()
    await page.locator('.bench-page').waitFor()
    const wrong = new URL('../../../examples/wrong/bleach-and-acid-in-a-closet.yaml', import.meta.url)
    await page.locator('input[type=file]').setInputFiles(wrong.pathname)
    await page.locator('.caution-refused').waitFor(SLOW)
    await page.getByRole('link', { name: /^Pour/ }).click()
    await page
      .getByRole('region', { name: /^Vessel / })
      .first()
      .waitFor(SLOW)
    expect(await page.locator('.vessels-figure, .clock-list').count()).toBe(0)
    expect(await page.locator('.pour-page').innerText()).toContain('no order of pours is given')
    // The refusal takes none of the other cautions away, and stands whole at one stop of the rail.
    expect(Number(/\d+/.exec(await page.locator('.caution-panel summary').innerText())?.[0])).toBeGreaterThan(10)
    expect(await page.locator('.caution-incomplete').count()).toBe(0)
    const whys = await page.locator('.day-rail .rail-why').allInnerTexts()
    expect(whys.filter((why) => why.startsWith('danger, refused')).length).toBe(1)
    expect(whys.filter((why) => why === 'same reason: see Make-up').length).toBe(6)
    // A plain problem: what can be read is told, and that it is not all.
    const small = (await readFile(new URL('../../../examples/right/tide-in-a-jar.yaml', import.meta.url), 'utf8')).replace(
      'holds: 2 L',
      'holds: 300 mL',
    )
    await page.getByRole('link', { name: /^Bench/ }).click()
    await page.locator('input[type=file]').setInputFiles({ name: 'small.yaml', mimeType: 'text/yaml', buffer: Buffer.from(small) })
    await page.locator('.caution-incomplete').waitFor(SLOW)
    expect(await page.locator('.caution-incomplete').innerText()).toMatch(/^These cautions are not complete: the document has problems/)
    expect(await page.locator('.caution-open li').count()).toBe(3)
    expect(Number(/\d+/.exec(await page.locator('.caution-panel summary').innerText())?.[0])).toBeGreaterThan(20)
    expect(await stands(page, '.caution-incomplete', '.caution-open')).toBe(true)
    expect(faults).toEqual([])
    await context.close()
  })
})

describe('every caution', () => {
  it('is on paper whatever page is printed, and folded again after it', async () => {
    const { page, context, faults } = await openExample('tide-in-a-jar', 'clearing')
    await page.locator('.treatment-card').first().waitFor(SLOW)
    const all = Number(/\d+/.exec(await page.locator('.caution-panel summary').innerText())?.[0])
    expect(all).toBeGreaterThan(10)
    const folded = page.locator('.caution-panel details .caution-lines:not(.caution-standing) li')
    expect(await folded.evaluateAll((lines) => lines.filter((line) => line.checkVisibility()).length)).toBe(0)
    // Told by the page itself in the moment the browser prints it.
    await page.evaluate(() => {
      addEventListener('beforeprint', () => {
        const lines = [...document.querySelectorAll('.caution-panel details .caution-lines:not(.caution-standing) li')]
        document.body.dataset['printed'] = String(lines.filter((line) => line.checkVisibility()).length)
      })
    })
    const pdf = await page.pdf()
    expect(pdf.length).toBeGreaterThan(10_000)
    expect(await page.evaluate(() => document.body.dataset['printed'])).toBe(String(all))
    expect(await page.locator('.caution-panel details').evaluate((fold) => (fold as HTMLDetailsElement).open)).toBe(false)
    expect(faults).toEqual([])
    await context.close()
  })

  it('stands whole on a phone, with what to do instead, and leaves room for the page', async () => {
    const { page, context, faults } = await openExample('tide-in-a-jar', 'makeup', { viewport: { width: 390, height: 844 } })
    await page.locator('.caution-open li').first().waitFor(SLOW)
    const lines = await page.locator('.caution-open li').evaluateAll((all) =>
      all.map((line) => ({
        isCut: line.scrollHeight > line.clientHeight + 1,
        instead: line.querySelector('.caution-instead')?.textContent ?? '',
      })),
    )
    expect(lines.map((l) => l.isCut)).toEqual([false, false, false])
    expect(lines.every((l) => l.instead !== '')).toBe(true)
    const panel = (await page.locator('.caution-panel').boundingBox())!
    expect(panel.height).toBeLessThan(844 / 3)
    expect(faults).toEqual([])
    await context.close()
  })

  it('is counted the same on the stage as on the page before it', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'perform')
    await page.locator('.read-cautions input[type=checkbox]').check(SLOW)
    const all = /\d+/.exec(await page.locator('.caution-panel summary').innerText())?.[0]
    await page.locator('.go-on-stage').click()
    await page.locator('dialog.stage[open]').waitFor()
    expect(await page.locator('.stage-danger summary').innerText()).toBe(`All ${all} cautions in full`)
    expect(await page.locator('.stage-danger li').count()).toBe(Number(all))
    expect(faults).toEqual([])
    await context.close()
  })
})

describe('a found recipe', () => {
  it('says that nothing of its table was checked', async () => {
    const { page, context, faults } = await openPage()
    await page.locator('.bench-page').waitFor()
    await page.getByText('From a found recipe').click()
    await page.getByLabel('The recipe, in its own words').fill('100 mL sodium hypochlorite solution 5 %; 50 mL hydrochloric acid 10 %')
    await page.getByRole('button', { name: 'Read it line by line' }).click()
    await page.locator('.found-solution').first().waitFor(SLOW)
    expect(await page.locator('.found-unchecked').innerText()).toContain('Nothing here is checked for danger')
    expect(await stands(page, '.found-unchecked', '.found-solution')).toBe(true)
    // Solutions by names of their own; reactions that the recipe can feed stand first, under a word that says so.
    await page
      .getByLabel('The recipe, in its own words')
      .fill('Clear water: 1.07 g potassium iodate in 250 mL water\nSour water: 0.5 g sodium metabisulfite in 250 mL water')
    await page.getByRole('button', { name: 'Read it line by line' }).click()
    await page.locator('.found-solution legend', { hasText: 'Sour water' }).waitFor(SLOW)
    const fed = page.locator('optgroup[label="the recipe holds what they need"] option')
    await fed.first().waitFor({ state: 'attached', ...SLOW })
    expect(await fed.allTextContents()).toContain('Iodate and hydrogensulfite clock: three net reactions and acid-base equilibria')
    expect(
      await stands(page, 'optgroup[label="the recipe holds what they need"]', 'optgroup[label="something is missing for these"]'),
    ).toBe(true)
    expect(faults).toEqual([])
    await context.close()
  })
})
