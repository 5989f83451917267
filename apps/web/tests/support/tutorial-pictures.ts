/** The pictures of the tutorial: what its reader has before him at that place of the text. */
import { mkdirSync } from 'node:fs'
import { dirname } from 'node:path'
import type { Locator, Page } from 'playwright-core'

/** An A4 sheet at 96 dots an inch. */
const SHEET = { width: 794, height: 1123 }
const WINDOW = { width: 1280, height: 1080 }
/** Pixels below what was looked at last. */
const BELOW = 170
/** ms; letters, the first drawing of a canvas. */
const SETTLING = 700

export async function takePicture(page: Page, path: string, shows: 'page' | 'paper', near: Locator | null): Promise<void> {
  mkdirSync(dirname(path), { recursive: true })
  await page.evaluate(() => document.fonts.ready.then(() => undefined))
  const before = page.viewportSize()
  await page.setViewportSize(shows === 'paper' ? SHEET : WINDOW)
  if (shows === 'paper') {
    await page.emulateMedia({ media: 'print' })
    await page.evaluate(() => {
      const sheets = document.querySelector('.printed-papers > div')?.shadowRoot?.querySelectorAll('.paper')
      for (const sheet of [...(sheets ?? [])].slice(0, -1)) (sheet as HTMLElement).style.display = 'none'
      // The white edge that a printer leaves.
      const edge = document.querySelector<HTMLElement>('.printed-papers')
      if (edge) edge.style.padding = '10mm 12mm'
      scrollTo(0, 0)
    })
  } else {
    await page.evaluate(() => scrollTo(0, 0))
    // What was pressed may be called otherwise by now.
    const box = near && (await near.count()) > 0 ? await near.last().boundingBox() : null
    const low = (box?.y ?? 0) + (box?.height ?? 0) + BELOW - WINDOW.height
    if (low > BELOW) await page.evaluate((by) => scrollBy(0, by), low)
  }
  await page.waitForTimeout(SETTLING)
  await page.screenshot({ path })
  await page.emulateMedia({ media: null })
  await page.evaluate(() => {
    document.querySelector<HTMLElement>('.printed-papers')?.style.removeProperty('padding')
    const sheets = document.querySelector('.printed-papers > div')?.shadowRoot?.querySelectorAll('.paper')
    for (const sheet of sheets ?? []) (sheet as HTMLElement).style.removeProperty('display')
  })
  if (before) await page.setViewportSize(before)
}
