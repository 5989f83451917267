/** How many steps the store has as done: what is ticked is written behind the click, and a reload must not come between. */
import type { Page } from 'playwright-core'

export async function keptTicks(page: Page): Promise<number> {
  return await page.evaluate(
    async () =>
      await new Promise<number>((resolve, reject) => {
        const asked = indexedDB.open('beakertide')
        asked.addEventListener('error', () => reject(asked.error ?? new Error('the store does not open')))
        asked.addEventListener('success', () => {
          const all = asked.result.transaction('records').objectStore('records').getAll()
          all.addEventListener('error', () => reject(all.error ?? new Error('the store cannot be read')))
          all.addEventListener('success', () => {
            const kept = all.result as readonly { readonly kind: string; readonly record: { readonly done?: readonly string[] } }[]
            asked.result.close()
            resolve(kept.filter((r) => r.kind === 'ticks').reduce((n, r) => n + (r.record.done?.length ?? 0), 0))
          })
        })
      }),
  )
}
