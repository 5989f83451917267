/** Serves the built page on this computer only: `npm start`. Flags: --port N, --no-open, --once (start, ask for the page, end). */
import { spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import type { AddressInfo } from 'node:net'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { type ServerType, serve } from '@hono/node-server'
import { HELLO, siteOf } from './site.ts'

/**
 * What a browser keeps belongs to the address with its port, so the port stays the same from day to day. Free by the register of
 * port numbers (memory).
 */
const USUAL_PORT = 8462
const TRIES = 20

const folder = fileURLToPath(new URL('../site', import.meta.url))
const flags = parseArgs({
  options: {
    port: { type: 'string' },
    'no-open': { type: 'boolean', default: false },
    once: { type: 'boolean', default: false },
  },
}).values

function listen(port: number): Promise<{ readonly server: ServerType; readonly port: number } | null> {
  let bound = port
  const site = siteOf(folder, () => bound)
  return new Promise((resolve, reject) => {
    const server = serve({ fetch: site.fetch, hostname: '127.0.0.1', port }, (info: AddressInfo) => {
      bound = info.port
      resolve({ server, port: bound })
    })
    server.on('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE' || error.code === 'EACCES') resolve(null)
      else reject(error)
    })
  })
}

async function isUs(port: number): Promise<boolean> {
  try {
    const answer = await fetch(`http://127.0.0.1:${port}/hello`, { signal: AbortSignal.timeout(1000) })
    return (await answer.text()) === HELLO
  } catch {
    return false
  }
}

/** Opens the address where there is a screen to open it on. */
function show(address: string): void {
  const hasScreen = process.platform !== 'linux' || Boolean(process.env['DISPLAY'] ?? process.env['WAYLAND_DISPLAY'])
  if (flags['no-open'] || !hasScreen) return
  const [command, ...args] = { darwin: ['open'], win32: ['cmd', '/c', 'start', ''] }[process.platform as string] ?? ['xdg-open']
  const child = spawn(command ?? '', [...args, address], { stdio: 'ignore', detached: true })
  // Without a browser the printed address is enough.
  child.on('error', () => undefined)
  child.unref()
}

/** Asks for the page and its script as a browser would; what is wrong as sentences. */
async function faultsOf(address: string): Promise<readonly string[]> {
  const faults: string[] = []
  const page = await fetch(address)
  const text = await page.text()
  if (!page.ok) faults.push(`the page answers ${page.status}`)
  if (!page.headers.get('content-security-policy')?.includes("script-src 'self'")) faults.push('the page comes without its security policy')
  const parts = [...text.matchAll(/(?:src|href)="\.\/([^"]+)"/g)].map((m) => m[1] ?? '')
  if (!parts.some((part) => part.endsWith('.js'))) faults.push('the page names no script')
  for (const part of parts) {
    const answer = await fetch(new URL(part, address))
    if (!answer.ok) faults.push(`${part} answers ${answer.status}`)
    await answer.arrayBuffer()
  }
  return faults
}

if (!existsSync(`${folder}/index.html`)) {
  console.error('The page is not built yet. Run "npm run build:web" first, or "npm start", which builds and serves it.')
  process.exit(1)
}
const wanted = flags.port === undefined ? USUAL_PORT : Number(flags.port)
if (!Number.isInteger(wanted) || wanted < 0 || wanted > 65_535) {
  console.error(`"${flags.port}" is no port: a whole number from 1 to 65535 is, and 0 takes any free one.`)
  process.exit(2)
}

let started = await listen(flags.once && flags.port === undefined ? 0 : wanted)
if (started === null && flags.port === undefined && (await isUs(wanted))) {
  const address = `http://127.0.0.1:${wanted}/`
  console.log(`Beakertide is already served at ${address}`)
  show(address)
  process.exit(0)
}
if (started === null && flags.port !== undefined) {
  console.error(`Port ${wanted} is taken by another program. Name another with --port, or leave it out.`)
  process.exit(1)
}
for (let more = 1; started === null && more <= TRIES; more++) {
  started = await listen(wanted + more)
  if (started) {
    console.log(`Port ${wanted} is taken by another program, so the page stands at another address today. Demonstrations kept under`)
    console.log(`http://127.0.0.1:${wanted}/ are still there: free that port and start again to see them.`)
  }
}
if (started === null) {
  console.error(`None of the ports ${wanted} to ${wanted + TRIES} is free. Name one with --port.`)
  process.exit(1)
}
const address = `http://127.0.0.1:${started.port}/`
console.log(`Beakertide is at ${address}`)
if (flags.once) {
  const faults = await faultsOf(address)
  for (const fault of faults) console.error(fault)
  if (faults.length === 0) console.log('The page and everything it names answer.')
  process.exit(faults.length === 0 ? 0 : 1)
}
console.log('Only this computer can reach it. Stop with Ctrl+C.')
show(address)
const stop = (): void => {
  started?.server.close()
  process.exit(0)
}
process.on('SIGINT', stop)
process.on('SIGTERM', stop)
