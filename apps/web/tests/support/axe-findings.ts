/** What the accessibility checker finds on a page, WCAG 2.2 A and AA. */
import AxeBuilder from 'axe-core'
import type { Page } from 'playwright-core'

/** Empty on a page that is in order: "rule: where, where". */
export async function axeFindings(page: Page): Promise<readonly string[]> {
  await page.evaluate(AxeBuilder.source)
  return await page.evaluate(async () => {
    const axe = (globalThis as unknown as { axe: typeof AxeBuilder }).axe
    const result = await axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] })
    return result.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).join(', ')}`)
  })
}
