/** A measured record over the rehearsal: opened, drawn, moved, kept, removed; what cannot be read says why. */
import type { Page } from 'playwright-core'
import { afterAll, describe, expect, it } from 'vitest'
import { axeFindings } from './support/axe-findings.ts'
import { openExample } from './support/open-example.ts'
import { closeBrowser } from './support/open-page.ts'

afterAll(closeBrowser)

const csv = (name: string, text: string) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(text) })
/** Ten thousand rows over two minutes: the absorbance steps up at 70 s and stays. */
const tenThousand = csv(
  'fuse.csv',
  [
    't (s);A 520 nm;T (°C);pH',
    ...Array.from({ length: 10_000 }, (_, i) => {
      const t = 0.012 * i
      return `${t.toFixed(3)};${(1.8 / (1 + Math.exp(70 - t))).toFixed(4)};${(21 + t / 300).toFixed(3)};${(4 + 0.01 * Math.sin(i)).toFixed(3)}`
    }),
  ]
    .join('\n')
    .replaceAll('.', ','),
)
const choose = (page: Page, ...files: readonly ReturnType<typeof csv>[]): Promise<void> =>
  page.locator('.measured input[type=file]').setInputFiles([...files])
/** A run with two taps, as the Perform page stores it. */
function storeRun(page: Page, of: string, vessel: string): Promise<void> {
  return page.evaluate(
    async ([key, id]) => {
      const predicted = { startS: 0, periodS: null, turns: [] }
      const times = { startedAt: Date.UTC(2026, 2, 14), stoppedS: 90, pouredS: {}, turnsSeenS: [66, 71], notes: [], cautionsRead: [] }
      const run = { id: 'run-1', version: 1, of: key, title: key, vessel: id, document: { text: '', beside: {} }, ...times, predicted }
      await new Promise<void>((resolve) => {
        const asked = indexedDB.open('beakertide')
        asked.addEventListener('success', () => {
          const change = asked.result.transaction('records', 'readwrite')
          change.objectStore('records').put({ kind: 'runs', id: run.id, record: run })
          change.addEventListener('complete', () => {
            asked.result.close()
            resolve()
          })
        })
      })
    },
    [of, vessel] as const,
  )
}
/** The pixels of the band that holds these words. */
const band = (page: Page, words: RegExp): Promise<string> =>
  page
    .locator('.trace', { hasText: words })
    .locator('canvas')
    .evaluate((canvas) => (canvas as HTMLCanvasElement).toDataURL())
const record = (page: Page, name: string | RegExp) => page.getByRole('article', { name })

describe('a measured record', () => {
  it('is laid over the rehearsal, moved with it, compared in words, kept over a reload, and removed', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'rehearsal')
    await page.locator('.measured').waitFor()
    const before = await band(page, /absorbance/)
    await choose(page, tenThousand)
    const one = record(page, 'fuse.csv')
    await one.waitFor()
    expect(await one.innerText()).toContain('10,000 rows over 2 min')
    expect(await page.locator('.trace', { hasText: /absorbance/ }).innerText()).toMatch(/predicted.*measured: A 520 nm \(fuse\.csv\)/s)
    expect(await page.locator('.trace', { hasText: /^pH/ }).count()).toBe(1)
    expect(await one.getByRole('combobox', { name: 'Laid over: A 520 nm' }).locator('option:checked').innerText()).toMatch(/absorbance/)
    // 70 s is where the step was made.
    expect(await one.innerText()).toMatch(/A 520 nm: 1 swing, at (69\.9|70|70\.1) s on the clock/)
    await expect.poll(() => band(page, /absorbance/)).not.toBe(before)

    // Closer by key, along by key and by pointer.
    const panels = page.locator('.time-panels')
    const whole = await band(page, /^pH/)
    await panels.focus()
    await page.keyboard.press('+')
    await page.keyboard.press('+')
    await expect.poll(() => band(page, /^pH/)).not.toBe(whole)
    const close = await band(page, /^pH/)
    await page.keyboard.press('Shift+ArrowRight')
    await expect.poll(() => band(page, /^pH/)).not.toBe(close)
    const along = await band(page, /^pH/)
    const strip = page.locator('.time canvas.strip').first()
    await strip.evaluate((canvas) => canvas.scrollIntoView({ block: 'center' }))
    const box = (await strip.boundingBox())!
    await page.keyboard.down('Shift')
    await page.mouse.move(box.x + box.width * 0.5, box.y + 20)
    await page.mouse.down()
    await page.mouse.move(box.x + box.width * 0.3, box.y + 20, { steps: 4 })
    await page.mouse.up()
    await page.keyboard.up('Shift')
    await expect.poll(() => band(page, /^pH/)).not.toBe(along)

    // Moved in time, and a column taken off.
    const starts = one.getByRole('textbox', { name: /First row of fuse\.csv/ })
    await starts.fill('10')
    await starts.press('Enter')
    await expect.poll(() => one.innerText()).toMatch(/at (79\.9|80|80\.1) s on the clock/)
    await one.getByRole('combobox', { name: 'Laid over: pH' }).selectOption({ label: 'not drawn' })
    await expect.poll(() => page.locator('.trace', { hasText: /^pH/ }).count()).toBe(0)
    expect(await axeFindings(page)).toEqual([])

    await storeRun(page, 'slow-fuse', 'flask')
    await page.reload()
    await one.waitFor()
    await page.getByRole('button', { name: /^Lay the taps of Run of 14 Mar 2026/ }).click()
    const taps = record(page, /^Run of 14 Mar 2026/)
    await taps.waitFor()
    expect(await taps.innerText()).toMatch(/2 turns seen, the first at 66 s and the last at 71 s on the clock/)
    expect(await page.getByRole('img', { name: /^2 turns seen, Run of/ }).count()).toBe(1)
    expect(await starts.inputValue()).toBe('10')
    expect(await page.locator('.trace', { hasText: /^pH/ }).count()).toBe(0)
    await one.getByRole('button', { name: 'Remove fuse.csv' }).click()
    await one.getByText('Press again to remove').click()
    await one.waitFor({ state: 'detached' })
    await expect.poll(() => page.locator('.trace-legend').count()).toBe(0)
    expect(faults).toEqual([])
    await context.close()
  })

  it('that cannot be read says everything that is wrong with it; one that leaves the time open is asked for it; nothing of a name runs', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'rehearsal', { viewport: { width: 390, height: 844 } })
    await page.locator('.measured').waitFor()
    const name = '<img src=x onerror="globalThis.hurt=1">.csv'
    await choose(
      page,
      csv(name, 't (s);<script>globalThis.hurt=1</script>\n0;1\n1;x\nzwei;3\n3;4\n'),
      csv('open.csv', 'time;E (mV)\n0;1\n1;2\n2;4\n'),
    )
    await page.evaluate(() => {
      const dataTransfer = new DataTransfer()
      dataTransfer.items.add(new File([new Uint8Array(50_000_000)], 'large.csv'))
      document.body.dispatchEvent(new DragEvent('drop', { bubbles: true, cancelable: true, dataTransfer }))
    })
    await expect.poll(() => page.locator('.measured-fault').count(), { timeout: 10_000 }).toBe(3)
    const text = await page.locator('.measured-faults').innerText()
    expect(text).toMatch(/line 3, column[^\n]*"x" is not a number/)
    expect(text).toMatch(/line 4, column[^\n]*"zwei" is not a number/)
    expect(text).toMatch(/50(\.0)? MB; 20 MB are read at most/)
    const open = page.getByRole('group', { name: 'Which column of open.csv is time?' })
    await open.getByLabel('Unit of time').selectOption('min')
    await open.getByRole('button', { name: 'Read it so' }).click()
    await record(page, 'open.csv').waitFor()
    expect(await record(page, 'open.csv').innerText()).toContain('3 rows over 2 min')

    // Pasted: a column of times is turns seen.
    await page.getByText('Paste a table').click()
    await page.getByLabel('Table with its headings').fill('t (s)\n61,5\n')
    await page.getByRole('button', { name: 'Lay it over' }).click()
    await expect.poll(() => page.locator('.measured-fault', { hasText: 'at least 2 are needed' }).count()).toBe(1)
    await page.getByLabel('Table with its headings').fill('t (s)\n61,5\n62\n')
    await page.getByRole('button', { name: 'Lay it over' }).click()
    await record(page, 'pasted table').waitFor()
    expect(await page.getByRole('img', { name: '2 turns seen, pasted table' }).count()).toBe(1)
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390)
    expect(await page.evaluate(() => 'hurt' in globalThis)).toBe(false)
    expect(await axeFindings(page)).toEqual([])
    expect(faults).toEqual([])
    await context.close()
  })
})
