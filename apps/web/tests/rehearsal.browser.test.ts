import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { afterAll, describe, expect, it } from 'vitest'
import { openExample } from './support/open-example.ts'
import { closeBrowser } from './support/open-page.ts'

afterAll(closeBrowser)

const axe = readFileSync(new URL('../../../node_modules/axe-core/axe.min.js', import.meta.url), 'utf8')

/** Breaches of WCAG 2.2 AA in the page's main part, as "rule: first place". */
async function breaches(page: Page): Promise<readonly string[]> {
  await page.evaluate(axe)
  return page.evaluate(async () => {
    const { axe: checker } = globalThis as unknown as {
      axe: { run(context: Element, options: unknown): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    const found = await checker.run(document.querySelector('main')!, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa'] })
    return found.violations.map((v) => `${v.id}: ${v.nodes[0]?.html.slice(0, 120)}`)
  })
}

const course = (page: Page) => page.locator('.course-words')
/** The pixels of the large strip. */
const strip = (page: Page): Promise<string> =>
  page.evaluate(() => document.querySelector<HTMLCanvasElement>('.time canvas.strip')!.toDataURL())
const now = (page: Page): Promise<number> => page.locator('.time-panels').getAttribute('aria-valuenow').then(Number)

describe('the rehearsal page', () => {
  it('follows a drag with strip and sentences, and goes back to the recipe', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'rehearsal')
    await course(page).waitFor()
    const before = { strip: await strip(page), words: await course(page).innerText() }
    const slider = page.getByRole('slider', { name: /thiosulfate/ })
    const box = (await slider.boundingBox())!
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
    await page.mouse.down()
    for (let k = 1; k <= 12; k++) await page.mouse.move(box.x + box.width * (0.5 + k / 60), box.y + box.height / 2)
    await page.mouse.up()
    await expect.poll(() => course(page).innerText(), { timeout: 10_000 }).not.toBe(before.words)
    await expect.poll(() => strip(page), { timeout: 10_000 }).not.toBe(before.strip)
    expect(await page.locator('.held').innerText()).toContain('not in the recipe')
    // At rest what is held is rehearsed in full too.
    await page.locator('.time[data-fine]').waitFor({ timeout: 15_000 })
    await page.getByRole('button', { name: 'All back to the recipe' }).click()
    await expect.poll(() => course(page).innerText(), { timeout: 10_000 }).toBe(before.words)
    expect(faults).toEqual([])
    await context.close()
  })

  it('writes what is held into the recipe as one change that can be undone', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'rehearsal')
    await course(page).waitFor()
    const number = page.getByRole('textbox', { name: /thiosulfate.*, g$/ })
    const before = await number.inputValue()
    await number.fill('0.4')
    await number.press('Enter')
    await page.getByRole('button', { name: 'Write into the recipe' }).first().click()
    await expect.poll(() => page.locator('.slider-field[data-held]').count(), { timeout: 10_000 }).toBe(0)
    await expect.poll(() => number.inputValue(), { timeout: 10_000 }).toBe('0.4')
    await page.getByRole('button', { name: /^Undo/ }).click()
    await expect.poll(() => number.inputValue(), { timeout: 10_000 }).toBe(before)
    expect(faults).toEqual([])
    await context.close()
  })

  it('moves the time by hand and by key, and shows a part of it', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'rehearsal')
    await course(page).waitFor()
    const panels = page.locator('.time-panels')
    await panels.scrollIntoViewIfNeeded()
    const box = (await panels.boundingBox())!
    await page.mouse.click(box.x + box.width / 2, box.y + 20)
    await expect.poll(() => now(page)).toBeGreaterThan(60)
    expect(await panels.getAttribute('aria-valuetext')).toMatch(/black/)
    const whole = await strip(page)
    await panels.focus()
    await page.keyboard.press('+')
    await expect.poll(() => strip(page)).not.toBe(whole)
    // The full rehearsal may have replaced the quick look by now, so the whole is not the same picture to the pixel.
    const close = await strip(page)
    await page.keyboard.press('0')
    await expect.poll(() => strip(page)).not.toBe(close)
    await expect.poll(() => page.getByRole('button', { name: 'All', exact: true }).isDisabled()).toBe(true)
    await page.keyboard.press('Home')
    await expect.poll(() => now(page)).toBe(0)
    await page.keyboard.press(' ')
    await page.getByRole('button', { name: 'Pause' }).click()
    expect(faults).toEqual([])
    await context.close()
  })

  it('fills a carpet, and a line opened by key or by a click sets the change', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'rehearsal')
    await course(page).waitFor()
    await page.getByRole('button', { name: 'Draw the carpet' }).click()
    await expect.poll(() => page.locator('.carpet-row').count(), { timeout: 15_000 }).toBe(13)
    const rows = page.locator('.carpet-row:not(:disabled)')
    await rows.first().focus()
    await page.keyboard.press('ArrowDown')
    await page.keyboard.press('Enter')
    await expect.poll(() => page.locator('.slider-field[data-held]').count()).toBe(1)
    // By hand: the picture of the last line opens that line, and the sentences become those of the line.
    const last = rows.last()
    const seconds = (text: string): number => Number(/[Ff]irst (?:turn )?(\d+) s/.exec(text)?.[1])
    const said = seconds(await last.locator('.carpet-words').innerText())
    const before = seconds(await course(page).innerText())
    expect(Math.abs(before - said)).toBeGreaterThan(5)
    await last.locator('canvas').click()
    // A line is rehearsed for its picture, a second more or less.
    await expect.poll(async () => Math.abs(seconds(await course(page).innerText()) - said), { timeout: 10_000 }).toBeLessThanOrEqual(1)
    expect(await page.locator('.held').innerText()).toContain('not in the recipe')
    expect(faults).toEqual([])
    await context.close()
  })

  it('stops long work on request', async () => {
    const { page, context, faults } = await openExample('tide-in-a-jar', 'rehearsal')
    await course(page).waitFor()
    await page.getByRole('button', { name: 'Draw the coast' }).click()
    const work = page.locator('.variation .long-work')
    await work.getByRole('button', { name: 'Cancel' }).click()
    await work.waitFor({ state: 'detached' })
    expect(faults).toEqual([])
    await context.close()
  })

  it('tells what a change adds to the dangers above the sliders, and no more of it when the change is taken back', async () => {
    const { page, context, faults } = await openExample('tide-in-a-jar', 'rehearsal')
    await course(page).waitFor()
    const write = page.locator('.knobs-buttons .main')
    expect(await write.isDisabled()).toBe(true)
    expect(await page.locator('.knobs-danger .caution-block').count()).toBe(0)
    const number = page.getByRole('textbox', { name: /hydrogen peroxide/ })
    await number.fill('400')
    await number.press('Enter')
    const added = page.locator('.knobs-danger .caution-block')
    await added.waitFor({ timeout: 10_000 })
    expect(await added.innerText()).toMatch(/vessel "jar": gas forms in it \(up to \d+ L\)/)
    expect(await added.innerText()).toContain('are those of the recipe as written')
    expect(
      await page.evaluate(() => {
        const [above, head] = [document.querySelector('.knobs-danger'), document.querySelector('#knobs-head')]
        return above && head ? (above.compareDocumentPosition(head) & Node.DOCUMENT_POSITION_FOLLOWING) !== 0 : false
      }),
    ).toBe(true)
    expect(await write.isDisabled()).toBe(false)
    expect(await breaches(page)).toEqual([])
    await page.getByRole('button', { name: 'All back to the recipe' }).click()
    await added.waitFor({ state: 'detached' })
    expect(await write.isDisabled()).toBe(true)
    expect(faults).toEqual([])
    await context.close()
  })

  it('tells what the answer of an aim adds to the dangers, above the amounts; what would be refused is no answer', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'rehearsal')
    await course(page).waitFor()
    await page.getByLabel('What may be changed').selectOption({ label: 'potassium iodide' })
    await page.getByLabel('Wanted value').fill('20')
    await page.getByRole('button', { name: 'Find it' }).click()
    const answer = page.locator('.aim-answer')
    await answer.waitFor({ timeout: 15_000 })
    const text = await answer.innerText()
    expect(text).toMatch(/^What the changed recipe adds/)
    expect(text.indexOf('Lasting harm')).toBeLessThan(text.indexOf('Take '))
    expect(text).toContain('vessel "flask"')
    // What only a refused recipe could give is not given: the bound and its danger stand there, and no amount beyond it.
    await page.getByLabel('Wanted value').fill('3')
    await page.getByLabel('Highest').fill('1000')
    await page.getByRole('button', { name: 'Find it' }).click()
    await expect.poll(() => answer.innerText(), { timeout: 15_000 }).toMatch(/Out of reach: 3 s/)
    const [, bound] = /More than ([\d.]+) × .* is not possible: .*iodine/.exec(await answer.innerText()) ?? []
    expect(Number(bound)).toBeGreaterThan(1)
    expect(Number(bound)).toBeLessThan(20)
    expect(faults).toEqual([])
    await context.close()
  })

  it('shows the refusal instead of the strip when the amounts held are refused', async () => {
    const { page, context } = await openExample('tide-in-a-jar', 'rehearsal')
    await course(page).waitFor()
    // A hundred litres of peroxide in two: whatever is refused first, nothing is drawn of it.
    const number = page.getByRole('textbox', { name: /hydrogen peroxide/ })
    await number.fill('100000')
    await number.press('Enter')
    await page.locator('.scene .problem-list').waitFor()
    expect(await page.locator('.time canvas.strip').count()).toBe(0)
    await page.getByRole('button', { name: 'All back to the recipe' }).click()
    await course(page).waitFor()
    await context.close()
  })
})
