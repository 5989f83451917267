/** Nothing is ever lost: crashes, two tabs, no network, full storage. */
import type { BrowserContext, Page } from 'playwright-core'
import { afterAll, describe, expect, it } from 'vitest'
import { closeBrowser, type OpenPage, openPage } from './support/open-page.ts'
import { serveCopy } from './support/serve-copy.ts'

afterAll(closeBrowser)

const KEY = 'example-slow-fuse'
const title = (page: Page) => page.locator('.top-title')
const saved = (page: Page) => page.locator('.top-saved')

/** The text of the open demonstration, as the browser keeps it. */
const keptText = (page: Page): Promise<string> =>
  page.evaluate(
    (key) =>
      new Promise<string>((resolve, reject) => {
        const open = indexedDB.open('beakertide')
        open.onerror = () => reject(new Error('no store'))
        open.onsuccess = () => {
          const get = open.result.transaction('demonstrations').objectStore('demonstrations').get(key)
          get.onsuccess = () => {
            open.result.close()
            resolve((get.result as { document: { text: string } } | undefined)?.document.text ?? '')
          }
        }
      }),
    KEY,
  )

/** Another temperature, written into the document from the rehearsal page. */
async function warm(page: Page, celsius: number): Promise<void> {
  const field = page.getByRole('textbox', { name: /temperature/ })
  await field.fill(String(celsius))
  await field.press('Enter')
  await page.getByRole('button', { name: 'Write into the recipe' }).click()
}
/** Temperature as the shown page has it. */
const shownCelsius = (page: Page): Promise<string> => page.getByRole('textbox', { name: /temperature/ }).inputValue()

async function openFuse(): Promise<OpenPage> {
  const opened = await openPage(`#/rehearsal/${KEY}`)
  await expect.poll(() => title(opened.page).innerText(), { timeout: 10_000 }).toBe('Slow fuse')
  return opened
}
async function secondTab(context: BrowserContext, address: string): Promise<Page> {
  const page = await context.newPage()
  await page.goto(`${address}#/rehearsal/${KEY}`)
  await expect.poll(() => title(page).innerText(), { timeout: 10_000 }).toBe('Slow fuse')
  return page
}

describe('what is kept', () => {
  it('survives the page being killed in the middle of an edit', async () => {
    const { page, context, address } = await openFuse()
    await warm(page, 27)
    await page.getByRole('button', { name: 'Document text' }).click()
    // Half a word, the field still under the hand.
    const area = page.getByLabel('Text of the document')
    await area.press('ControlOrMeta+End')
    await page.keyboard.type('# half a w')
    const session = await context.newCDPSession(page)
    // Killed in the moment in which the change is on the screen: the page has no time to say goodbye.
    await page.waitForFunction(() => document.querySelector<HTMLTextAreaElement>('.document-panel textarea')?.value.endsWith('# half a w'))
    session.send('Page.crash').catch(() => undefined)
    await page.waitForEvent('crash')
    const again = await secondTab(context, address)
    expect(await keptText(again)).toMatch(/temperature: 27[^]*# half a w$/)
    await expect.poll(() => shownCelsius(again), { timeout: 10_000 }).toBe('27')
    await context.close()
  })

  it('is seen by a second tab, and neither tab overwrites the other in silence', async () => {
    const { page, context, address, faults } = await openFuse()
    await warm(page, 27)
    await expect.poll(() => keptText(page)).toMatch(/temperature: 27/)
    const other = await secondTab(context, address)
    await expect.poll(() => shownCelsius(other), { timeout: 10_000 }).toBe('27')
    await warm(other, 28)
    await expect.poll(() => shownCelsius(page), { timeout: 10_000 }).toBe('28')
    // The other tab changes it while this one hears nothing: the text that stands there is not the one that ours was made from.
    await page.evaluate((key) => {
      return new Promise<void>((resolve) => {
        const open = indexedDB.open('beakertide')
        open.onsuccess = () => {
          const tx = open.result.transaction('demonstrations', 'readwrite')
          const all = tx.objectStore('demonstrations')
          const get = all.get(key)
          get.onsuccess = () => {
            const kept = get.result as { revision: number; document: { text: string } }
            all.put({ ...kept, revision: kept.revision + 1, document: { text: `${kept.document.text}# from elsewhere\n`, beside: {} } })
          }
          tx.oncomplete = () => {
            open.result.close()
            resolve()
          }
        }
      })
    }, KEY)
    await warm(page, 29)
    const notice = page.locator('.notice[data-kind="both kept"]')
    expect(await notice.innerText()).toMatch(/changed in another tab/)
    expect(await keptText(page)).toMatch(/temperature: 29/)
    await notice.getByRole('button', { name: 'Take the other' }).click()
    await expect.poll(() => keptText(page)).toMatch(/temperature: 28[^]*# from elsewhere\n$/)
    await page.getByRole('button', { name: 'Undo' }).click()
    await expect.poll(() => keptText(page)).toMatch(/temperature: 29/)
    expect(faults).toEqual([])
    await context.close()
  })

  it('can be used without a network after one visit', async () => {
    const { page, context } = await openFuse()
    await page.evaluate(() => navigator.serviceWorker.ready.then((r) => r.active?.state))
    await expect.poll(() => page.evaluate(() => navigator.serviceWorker.controller !== null), { timeout: 15_000 }).toBe(true)
    await context.setOffline(true)
    await page.reload()
    await expect.poll(() => title(page).innerText(), { timeout: 10_000 }).toBe('Slow fuse')
    // Pages not seen before, and the workers with their tables.
    await page.getByRole('link', { name: /^Papers/ }).click()
    await page.locator('main h1').first().waitFor()
    await page.getByRole('link', { name: /^Rehearsal/ }).click()
    await page.locator('.course-words').waitFor({ timeout: 15_000 })
    await context.close()
  })

  it('offers a newer program and loads it only when asked, with every change kept', async () => {
    const copy = await serveCopy()
    const { page, context } = await openPage()
    try {
      await page.goto(`${copy.address}#/rehearsal/${KEY}`)
      await expect.poll(() => page.evaluate(() => navigator.serviceWorker.controller !== null), { timeout: 15_000 }).toBe(true)
      await copy.change('<html', '<html data-version="next"')
      await page.reload()
      const offer = page.locator('.notice', { hasText: 'newer' })
      await offer.waitFor({ timeout: 15_000 })
      // Until then everything goes on as before.
      await warm(page, 26)
      expect(await page.locator('html').getAttribute('data-version')).toBe(null)
      await expect.poll(() => saved(page).innerText()).toBe('Saved in this browser')
      await offer.getByRole('button').click()
      await expect.poll(() => page.locator('html').getAttribute('data-version'), { timeout: 15_000 }).toBe('next')
      await expect.poll(() => shownCelsius(page), { timeout: 10_000 }).toBe('26')
    } finally {
      await context.close()
      await copy.end()
    }
  })

  it('says so when the storage is full, offers the download, and keeps what is on the screen', async () => {
    const { page, context } = await openFuse()
    await page.evaluate(() => {
      // The browser refuses as it does on a full disk: every write of a demonstration and of a bottle fails.
      type Put = (this: IDBObjectStore, value: unknown, key?: IDBValidKey) => IDBRequest<IDBValidKey>
      const put = Reflect.get(IDBObjectStore.prototype, 'put') as Put
      IDBObjectStore.prototype.put = function (this: IDBObjectStore, value: unknown, key?: IDBValidKey) {
        if (this.name === 'demonstrations' || this.name === 'records') throw new DOMException('The disk is full', 'QuotaExceededError')
        return put.call(this, value, key)
      }
      Reflect.set(globalThis, 'makeRoom', () => {
        IDBObjectStore.prototype.put = put
      })
    })
    await warm(page, 31)
    await expect.poll(() => saved(page).innerText()).toBe('Not saved')
    const alert = page.locator('.notice[data-kind="full"]')
    expect(await alert.innerText()).toMatch(/storage is full/)
    const [file] = await Promise.all([page.waitForEvent('download'), alert.getByRole('button', { name: 'Download' }).click()])
    expect(file.suggestedFilename()).toBe('slow-fuse.yaml')
    expect(await shownCelsius(page)).toBe('31')
    // Nothing was lost by it: with room again, the next change is kept together with the one that was not.
    expect(await keptText(page)).not.toMatch(/temperature: 31/)
    await page.getByRole('link', { name: /^Shelf/ }).click()
    await page.getByRole('button', { name: 'Add a bottle' }).click()
    await page.keyboard.type('potassium iodide')
    await page.keyboard.press('Tab')
    const shelfFull = page.locator('.shelf-page > [role=alert]')
    await expect.poll(() => shelfFull.innerText()).toMatch(/storage is full or closed/)
    await page.evaluate(() => Reflect.get(globalThis, 'makeRoom')())
    await page.keyboard.type('99 %')
    await page.keyboard.press('Tab')
    await expect.poll(() => shelfFull.count()).toBe(0)
    await page.getByRole('button', { name: 'Document text' }).click()
    await page.getByLabel('Text of the document').press('ControlOrMeta+End')
    await page.keyboard.type('# room again')
    await expect.poll(() => saved(page).innerText()).toBe('Saved in this browser')
    expect(await keptText(page)).toMatch(/temperature: 31[^]*# room again$/)
    await expect.poll(() => alert.count()).toBe(0)
    await page.reload()
    await expect.poll(() => page.locator('.shelf-bottle').allInnerTexts(), { timeout: 10_000 }).toHaveLength(1)
    await expect.poll(() => page.locator('.bottle-line').innerText(), { timeout: 10_000 }).toMatch(/KI.*99\.00/)
    await context.close()
  })
})
