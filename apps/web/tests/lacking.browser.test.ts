/** Browsers that lack something: each says so in a sentence, offers what works, and loses nothing. */
import { readFileSync } from 'node:fs'
import type { BrowserContext, Page } from 'playwright-core'
import { afterAll, describe, expect, it } from 'vitest'
import { closeBrowser, openPage } from './support/open-page.ts'

afterAll(closeBrowser)

const KEY = 'example-slow-fuse'

/** A page in a profile of its own in which `lack` has run before any script of ours. */
async function pageLacking(
  lack: () => void,
  stop: string,
): Promise<{ readonly page: Page; readonly context: BrowserContext; readonly faults: string[] }> {
  const { page, context, address, faults } = await openPage()
  await context.addInitScript(lack)
  await page.goto(`${address}?lacking#/${stop}/${KEY}`)
  return { page, context, faults }
}

/** Another temperature, written into the document. */
async function warm(page: Page, celsius: number): Promise<void> {
  const field = page.getByRole('textbox', { name: /temperature/ })
  await field.fill(String(celsius))
  await field.press('Enter')
  await page.getByRole('button', { name: 'Write into the recipe' }).click()
  await page.waitForFunction(() => document.querySelector('.top-tools button:not(:disabled)')?.textContent === 'Undo')
}
const goTo = (page: Page, stop: string): Promise<void> =>
  page.evaluate((hash) => {
    location.hash = hash
  }, `#/${stop}/${KEY}`)

describe('a browser that lacks something', () => {
  it('works to the end of the tab and says so: no store, no service worker, no channel, no wake lock', async () => {
    const { page, context, faults } = await pageLacking(() => {
      Object.defineProperty(globalThis, 'indexedDB', {
        get() {
          throw new DOMException('denied', 'SecurityError')
        },
      })
      for (const name of ['serviceWorker', 'wakeLock', 'storage', 'locks']) Reflect.deleteProperty(Navigator.prototype, name)
      Reflect.deleteProperty(globalThis, 'BroadcastChannel')
    }, 'rehearsal')
    await expect.poll(() => page.locator('.notice').innerText()).toMatch(/keeps nothing.*Download what you want to keep/)
    await warm(page, 27)
    expect(await page.locator('.top-saved').innerText()).toBe('Kept until this tab is closed')
    // Other pages and back: what was changed is still there.
    await goTo(page, 'perform')
    await page.locator('.read-cautions input[type=checkbox]').check()
    await page.locator('.go-on-stage').click()
    expect(await page.locator('.stage-foot').innerText()).toMatch(/cannot keep the screen on/)
    await page.getByRole('button', { name: 'Leave the stage' }).click()
    // Reading goes on where it was left.
    await expect.poll(() => page.evaluate(() => document.activeElement?.className)).toMatch(/go-on-stage/)
    await goTo(page, 'rehearsal')
    await expect.poll(() => page.getByRole('textbox', { name: /temperature/ }).inputValue()).toBe('27')
    await page.locator('.top-settings > summary').click()
    expect(await page.locator('.top-settings').innerText()).toMatch(/does not keep the program for the time without a network/)
    await page.keyboard.press('Escape')
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Settings')
    expect(faults).toEqual([])
    await context.close()
  })

  it('makes a moving picture where it cannot encode video', async () => {
    const { page, context, faults } = await pageLacking(() => {
      for (const name of ['VideoEncoder', 'MediaRecorder', 'OffscreenCanvas']) Reflect.deleteProperty(globalThis, name)
    }, 'reasons')
    const film = page.locator('.film')
    await film.waitFor({ timeout: 15_000 })
    await film.getByLabel('Speed').selectOption('× 60')
    await film.getByLabel('Frames a second').selectOption('25')
    const [file] = await Promise.all([
      page.waitForEvent('download', { timeout: 60_000 }),
      film.getByRole('button', { name: 'Make the film' }).click(),
    ])
    expect(file.suggestedFilename()).toMatch(/\.png$/)
    expect(await film.innerText()).toMatch(/cannot encode video.*moving PNG/)
    const bytes = readFileSync((await file.path()) ?? '')
    const said = Number(/(\d+) frames/.exec(await film.innerText())?.[1])
    expect(bytes.readUInt32BE(bytes.indexOf('acTL') + 4)).toBe(said)
    expect(faults).toEqual([])
    await context.close()
  })
})

interface Disk {
  text: string
  at: number
  asked: number
  answer: 'give' | 'cancel' | 'refuse'
}
const disk = (page: Page): Promise<Disk> => page.evaluate(() => (globalThis as unknown as { disk: Disk }).disk)
const setDisk = (page: Page, change: Partial<Disk>): Promise<void> =>
  page.evaluate((c) => void Object.assign((globalThis as unknown as { disk: object }).disk, c), change)

describe('a real file', () => {
  it('is written once asked for and again without asking, left alone when it changed, and downloaded when it is refused', async () => {
    const { page, context, faults } = await pageLacking(() => {
      const file: Disk = { text: '', at: 1, asked: 0, answer: 'give' }
      const handle = {
        name: 'my-fuse.yaml',
        getFile: () => Promise.resolve(new File([file.text], 'my-fuse.yaml', { lastModified: file.at })),
        createWritable: () => {
          if (file.answer === 'refuse') return Promise.reject(new DOMException('no', 'NotAllowedError'))
          let coming = ''
          return Promise.resolve({
            write: (text: string) => Promise.resolve(void (coming += text)),
            close: () => Promise.resolve(void Object.assign(file, { text: coming, at: file.at + 1 })),
          })
        },
      }
      Object.assign(globalThis, {
        disk: file,
        showOpenFilePicker: () => Promise.resolve([handle]),
        showSaveFilePicker: () => {
          file.asked++
          return file.answer === 'cancel' ? Promise.reject(new DOMException('never mind', 'AbortError')) : Promise.resolve(handle)
        },
      })
    }, 'rehearsal')
    const save = async (): Promise<void> => {
      await page.getByText('File', { exact: true }).click()
      await page.getByRole('button', { name: 'Save to a file' }).click()
    }
    const notice = page.locator('.notice[data-kind="file"]')
    await expect.poll(() => page.locator('.top-title').innerText()).toBe('Slow fuse')
    await setDisk(page, { answer: 'cancel' })
    await save()
    await expect.poll(async () => (await disk(page)).asked).toBe(1)
    expect(await notice.count()).toBe(0)
    await setDisk(page, { answer: 'give' })
    await save()
    await expect.poll(() => notice.innerText()).toMatch(/Written into my-fuse\.yaml/)
    await warm(page, 27)
    await save()
    await expect.poll(async () => (await disk(page)).text).toMatch(/temperature: 27/)
    expect((await disk(page)).asked).toBe(2)
    // Another program writes into it.
    await setDisk(page, { text: 'of somebody else', at: 50 })
    await save()
    await expect.poll(() => notice.innerText()).toMatch(/my-fuse\.yaml was changed by something else.*Nothing was written/)
    expect((await disk(page)).text).toBe('of somebody else')
    await notice.getByRole('button', { name: 'Write over it' }).click()
    await expect.poll(async () => (await disk(page)).text).toMatch(/temperature: 27/)
    // Opened in the browser's own dialog, it is saved back where it came from, and nobody is asked.
    await goTo(page, 'bench')
    await page.getByRole('button', { name: 'From a file', exact: true }).click()
    await expect.poll(() => page.evaluate(() => location.hash)).toMatch(/^#\/rehearsal\/(?!example)/)
    await warm(page, 28)
    await save()
    await expect.poll(async () => (await disk(page)).text).toMatch(/temperature: 28/)
    expect((await disk(page)).asked).toBe(2)
    await setDisk(page, { answer: 'refuse' })
    const [file] = await Promise.all([page.waitForEvent('download'), save()])
    expect(file.suggestedFilename()).toBe('slow-fuse.yaml')
    await expect.poll(() => notice.innerText()).toMatch(/did not let this page write into my-fuse\.yaml.*downloads/)
    expect(faults).toEqual([])
    await context.close()
  })
})
