/** A fresh browser profile with the page in it, watched for everything that must never happen. */
import { type Browser, type BrowserContext, type BrowserContextOptions, chromium, type Page } from 'playwright-core'
import { inject } from 'vitest'
import { CHROMIUM_FLAGS, findChromium } from './find-chromium.ts'

let browser: Browser | undefined

/** The one browser of a test file. Close with `closeBrowser` in afterAll. */
export async function theBrowser(): Promise<Browser> {
  browser ??= await chromium.launch({ executablePath: findChromium(), args: CHROMIUM_FLAGS })
  return browser
}
export async function closeBrowser(): Promise<void> {
  await browser?.close()
  browser = undefined
}

export interface OpenPage {
  readonly page: Page
  readonly context: BrowserContext
  readonly address: string
  /** Uncaught errors, console errors, policy violations, requests to elsewhere: must stay empty. */
  readonly faults: string[]
}

/** Opens `path` (a hash such as "#/rehearsal") in a new profile at 1280 x 800. */
export async function openPage(path = '', options: BrowserContextOptions = {}): Promise<OpenPage> {
  const address = inject('address')
  const context = await (await theBrowser()).newContext({ viewport: { width: 1280, height: 800 }, locale: 'en-GB', ...options })
  const faults: string[] = []
  watch(context, address, faults)
  const page = await context.newPage()
  await page.goto(`${address}${path}`)
  return { page, context, address, faults }
}

/** Every page of the context reports into `faults`. */
export function watch(context: BrowserContext, address: string, faults: string[]): void {
  context.on('page', (page) => {
    page.on('pageerror', (error) => faults.push(`uncaught: ${error.stack ?? error.message}`))
    page.on('console', (message) => {
      if (message.type() === 'error') faults.push(`console: ${message.text()}`)
    })
    page.on('request', (request) => {
      if (!request.url().startsWith(address) && !/^(data|blob):/.test(request.url())) faults.push(`request to ${request.url()}`)
    })
  })
}
