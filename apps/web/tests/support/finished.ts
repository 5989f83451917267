/** What has come when a page is finished, by its stop. */
import type { Page } from 'playwright-core'

const SLOW = { timeout: 15_000 }
const LAST_TO_COME: Readonly<Record<string, string>> = {
  bench: '.bench-row .strip-picture',
  shelf: '.shelf-page .shelf-buttons',
  makeup: '.bench-card',
  pour: '.vessels-figure',
  rehearsal: '.course-words',
  reasons: '.network svg',
  perform: '.read-cautions .caution-block, .stand-ready',
  clearing: '.treatment-card',
  papers: '.paper-preview .paper',
}

/** The page has come, the document has been read, and what is computed for it stands there. */
export async function finished(page: Page, stop: string): Promise<void> {
  await page.locator('main h1').first().waitFor(SLOW)
  await page
    .locator(LAST_TO_COME[stop] ?? 'main h1')
    .first()
    .waitFor({ ...SLOW, state: 'attached' })
  await page.evaluate(() => document.fonts.ready.then(() => undefined))
}
