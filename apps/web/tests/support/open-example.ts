/** A shipped example opened at a stop, as if a person had chosen it on the bench a moment ago. */
import { readFileSync } from 'node:fs'
import type { BrowserContextOptions } from 'playwright-core'
import { type OpenPage, openPage } from './open-page.ts'

/** The example is put into the page's own store under its name; `edit` changes its text first. */
export async function openExample(
  name: string,
  stop: string,
  options: BrowserContextOptions & { readonly edit?: (text: string) => string } = {},
): Promise<OpenPage> {
  const { edit = (text) => text, ...browserOptions } = options
  const text = edit(readFileSync(new URL(`../../../../examples/right/${name}.yaml`, import.meta.url), 'utf8'))
  const opened = await openPage('', browserOptions)
  await opened.page.waitForSelector('main')
  await opened.page.evaluate(
    async ([key, body]) => {
      await new Promise<void>((resolve, reject) => {
        const asked = indexedDB.open('beakertide')
        asked.addEventListener('error', () => reject(asked.error ?? new Error('the store does not open')))
        asked.addEventListener('success', () => {
          const change = asked.result.transaction('demonstrations', 'readwrite')
          change.objectStore('demonstrations').put({
            key,
            title: key,
            document: { text: body, beside: {} },
            changedAt: Date.now(),
            revision: 1,
            example: null,
            deletedAt: null,
          })
          change.addEventListener('complete', () => {
            asked.result.close()
            resolve()
          })
        })
      })
    },
    [name, text] as const,
  )
  await opened.page.evaluate((hash) => {
    location.hash = hash
  }, `#/${stop}/${name}`)
  return opened
}
