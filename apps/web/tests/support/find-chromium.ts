/** The browser of the tests: one that is there already. Nothing is ever downloaded. */
import { existsSync } from 'node:fs'
import { chromium } from 'playwright-core'

const USUAL = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome-stable',
  '/usr/bin/google-chrome',
  '/snap/bin/chromium',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
]

/** Path of Chromium; an error that says exactly what to do when there is none. */
export function findChromium(): string {
  const named = process.env['BEAKERTIDE_CHROMIUM']
  if (named !== undefined) {
    if (existsSync(named)) return named
    throw new Error(`BEAKERTIDE_CHROMIUM names ${named}, and there is no such file.`)
  }
  const found = [...USUAL, chromium.executablePath()].find((path) => path !== '' && existsSync(path))
  if (found !== undefined) return found
  throw new Error(
    'No Chromium was found. Install it ("apt-get install chromium" on Debian), or name one: BEAKERTIDE_CHROMIUM=/path/to/chromium npm test',
  )
}

/** Works in containers too, and asks nothing of the network. */
export const CHROMIUM_FLAGS = ['--no-sandbox', '--disable-background-networking', '--disable-component-update', '--no-first-run']
