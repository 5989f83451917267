import { readFileSync } from 'node:fs'
import AxeBuilder from 'axe-core'
import { afterAll, describe, expect, it } from 'vitest'
import { openExample } from './support/open-example.ts'
import { closeBrowser } from './support/open-page.ts'
import { pdfPages } from './support/pdf-text.ts'

afterAll(closeBrowser)

/** A busy machine takes longer than the usual second. */
const SLOW = { timeout: 15_000 }

/** Pages of a PDF, by the objects that describe them; and their sizes in points. */
function pagesOf(pdf: Buffer): { readonly count: number; readonly sizes: ReadonlySet<string> } {
  const text = pdf.toString('latin1')
  const sizes = [...text.matchAll(/\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/g)].map(
    (m) => `${Math.round(Number(m[1]))}x${Math.round(Number(m[2]))}`,
  )
  return { count: [...text.matchAll(/\/Type\s*\/Page\b(?!s)/g)].length, sizes: new Set(sizes) }
}

describe('the papers page', () => {
  it('prints every paper and nothing of the page, each headed by danger', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'papers')
    await page.getByRole('button', { name: 'All', exact: true }).click()
    const skip = page.getByRole('button', { name: 'Print without' })
    await skip.waitFor({ timeout: 10_000 })
    await skip.click()
    await expect
      .poll(() => page.evaluate(() => document.querySelector('.printed-papers > div')?.shadowRoot?.querySelectorAll('.paper').length), SLOW)
      .toBe(10)
    await page.emulateMedia({ media: 'print' })
    const seen = await page.evaluate(() => {
      const root = document.querySelector('.printed-papers > div')?.shadowRoot
      return {
        page: getComputedStyle(document.querySelector('#page')!).display,
        heads: [...(root?.querySelectorAll('.paper .flow') ?? [])].map((flow) => flow.querySelector('h1')?.nextElementSibling?.className),
        titles: [...(root?.querySelectorAll('h1') ?? [])].map((h) => h.textContent.split(':')[0]),
        inline: root?.querySelectorAll('[style], script').length,
        labels: root?.querySelectorAll('.label').length,
      }
    })
    expect(seen.page).toBe('none')
    expect(new Set(seen.heads)).toEqual(new Set(['danger']))
    expect(seen.titles).toEqual([
      'Cautions',
      'Go or no-go',
      'Shopping list',
      'Make-up',
      'Bottle labels',
      'Recipe',
      'Rehearsal',
      'Cues',
      'Clearing',
      'Write-up',
    ])
    expect([seen.inline, seen.labels]).toEqual([0, 2])
    const pdf = await page.pdf({ preferCSSPageSize: true })
    const { count, sizes } = pagesOf(pdf)
    expect(count).toBeGreaterThanOrEqual(11)
    // As it leaves the printer: each paper begins a page of its own, with its dangers under its title.
    const printed = pdfPages(pdf)
    for (const title of seen.titles) {
      const first = printed.find((sheet) => sheet.startsWith(`${title}:`.replace(/\s/g, '')))
      expect(`${title}: ${first?.slice(0, 60)}`).toMatch(/Dangerfirst/)
    }
    // Nothing on it that a font could not write.
    expect(printed.join('')).not.toMatch(/[\uFFFD\0]/)
    // A4, 210 x 297 mm
    expect([...sizes]).toEqual(['595x842'])
    expect(faults).toEqual([])
    await context.close()
  })

  it('prints recipe and cues on one page each, on letter paper too, and labels behind one page', async () => {
    const { page, context, faults } = await openExample('three-lanterns', 'papers')
    await page.getByRole('button', { name: 'None', exact: true }).click()
    await page.getByLabel('Letter').check()
    await page.getByLabel('Recipe on one page').check()
    await expect
      .poll(() => page.evaluate(() => document.querySelector('.printed-papers > div')?.shadowRoot?.querySelectorAll('.paper').length), SLOW)
      .toBe(1)
    const { count, sizes } = pagesOf(await page.pdf({ preferCSSPageSize: true }))
    expect([count, [...sizes]]).toEqual([1, ['612x792']])
    await page.getByLabel('Recipe on one page').uncheck()
    await page.getByLabel('Cue sheet').check()
    await expect
      .poll(() => page.evaluate(() => document.querySelector('.printed-papers > div')?.shadowRoot?.querySelector('h1')?.textContent), SLOW)
      .toBe('Cues: Three lanterns')
    expect(pagesOf(await page.pdf({ preferCSSPageSize: true })).count).toBe(1)
    const said = await page.evaluate(() =>
      [...(document.querySelector('.printed-papers > div')?.shadowRoot?.querySelectorAll('.said') ?? [])].map((s) => s.textContent),
    )
    expect(said[0]).toBe('Now more iodine is made than is used up.')
    await page.getByLabel('Cue sheet').uncheck()
    await page.getByLabel('Bottle labels').check()
    await expect
      .poll(() => page.evaluate(() => document.querySelector('.printed-papers > div')?.shadowRoot?.querySelector('h1')?.textContent), SLOW)
      .toBe('Bottle labels: Three lanterns')
    expect(pagesOf(await page.pdf({ preferCSSPageSize: true })).count).toBe(2)
    expect(faults).toEqual([])
    await context.close()
  })

  it('finds the digit that was typed wrongly from the recipe page', async () => {
    const { page, context } = await openExample('slow-fuse', 'papers')
    await page.getByRole('button', { name: 'None', exact: true }).click()
    await page.getByLabel('Recipe on one page').check()
    const line = (): Promise<string> =>
      page.evaluate(() => document.querySelector('.printed-papers > div')?.shadowRoot?.querySelector('.codes b')?.textContent ?? '')
    await expect.poll(line, SLOW).not.toBe('')
    const printed = await line()
    await page.getByText('Typed in from paper?').click()
    await page.getByLabel('Check line of the paper').fill(printed.toLowerCase())
    await page.getByRole('button', { name: 'Compare' }).click()
    await page.locator('.agrees').waitFor()
    await context.close()

    // The characters check what the recipe says, in whatever language it is printed and typed.
    const typed = await openExample('slow-fuse', 'papers', {
      edit: (text) => text.replace('persulfate: 0.1 mol/L', 'persulfate: 0.2 mol/L'),
      locale: 'de-DE',
    })
    await typed.page.getByText('Vom Papier abgetippt?').click()
    await typed.page.getByLabel('Prüfzeile des Papiers').fill(printed)
    await typed.page.getByRole('button', { name: 'Vergleichen' }).click()
    await typed.page.locator('.differs li').waitFor()
    expect(await typed.page.locator('.differs li').allInnerTexts()).toEqual(['fuse: mit persulfate 0,2 mol/L'])
    expect(typed.faults).toEqual([])
    await typed.context.close()
  })

  it('saves one file that needs nothing else, and passes the accessibility checker', async () => {
    const { page, context, faults } = await openExample('slow-fuse', 'papers')
    await page.locator('.paper-preview').waitFor()
    await expect.poll(() => page.getByRole('button', { name: 'Save as one HTML file' }).isEnabled(), SLOW).toBe(true)
    const download = page.waitForEvent('download')
    await page.getByRole('button', { name: 'Save as one HTML file' }).click()
    const file = await download
    expect(file.suggestedFilename()).toBe('slow-fuse.html')
    const html = readFileSync(await file.path(), 'utf8')
    expect(html).toContain("default-src 'none'")
    expect(html).not.toMatch(/<script|<link|src=/)
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
})
