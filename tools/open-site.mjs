// The built page on a free loopback port, and a browser of this computer: for pictures and measurements.
import { spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { chromium } from 'playwright-core'

const USUAL = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome-stable', '/usr/bin/google-chrome']

/** Ends with the sentence that says what to do when there is no browser or no built page. */
export async function openSite(flags = []) {
  const executablePath = process.env.BEAKERTIDE_CHROMIUM ?? [...USUAL, chromium.executablePath()].find((path) => existsSync(path))
  if (executablePath === undefined) {
    console.error('No Chromium was found: "apt-get install chromium", or BEAKERTIDE_CHROMIUM=/path/to/chromium')
    process.exit(1)
  }
  const server = spawn(process.execPath, ['apps/web/dist/server/start.js', '--port', '0', '--no-open'], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const address = await new Promise((resolve, reject) => {
    let said = ''
    server.stdout.on('data', (part) => {
      said += part
      const found = /http:\/\/127\.0\.0\.1:\d+\//.exec(said)?.[0]
      if (found) resolve(found)
    })
    server.on('exit', () => reject(new Error(`the server ended: ${said}`)))
  })
  const browser = await chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-background-networking', ...flags] })
  return {
    browser,
    address,
    close: async () => {
      await browser.close()
      server.kill()
    },
  }
}
