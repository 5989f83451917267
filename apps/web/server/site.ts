/**
 * The built site as answers to requests, without a socket. The files are read once, when it starts: nothing else of the disk can be asked
 * for, and a build that runs meanwhile does not mix two versions.
 */
import { readFileSync, readdirSync, statSync } from 'node:fs'
import { extname, join } from 'node:path'
import { Hono } from 'hono'

/** What the page may do: nothing from elsewhere, no script from text, no frame around it. WebAssembly is compiled from our own engine. */
export const CONTENT_POLICY = [
  "default-src 'self'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "worker-src 'self'",
  "img-src 'self' data: blob:",
  "media-src 'self' blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "manifest-src 'self'",
  "object-src 'none'",
  "frame-src 'self' blob:",
  "frame-ancestors 'none'",
  "form-action 'none'",
  "base-uri 'none'",
].join('; ')

const HEADERS: Readonly<Record<string, string>> = {
  'Content-Security-Policy': CONTENT_POLICY,
  'X-Content-Type-Options': 'nosniff',
  'X-Frame-Options': 'DENY',
  'Referrer-Policy': 'no-referrer',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': 'camera=(), microphone=(), geolocation=(), usb=(), payment=(), screen-wake-lock=(self), fullscreen=(self)',
}

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
  '.ttf': 'font/ttf',
  '.webmanifest': 'application/manifest+json',
  '.yaml': 'text/plain; charset=utf-8',
}

/** The answer that tells another start of this program that it is us. */
export const HELLO = 'beakertide'

interface BuiltFile {
  readonly type: string
  readonly body: Uint8Array<ArrayBuffer>
}

/** The built files by the paths under which they are asked for: "/assets/index-1a2b.js". */
function filesOf(folder: string): ReadonlyMap<string, BuiltFile> {
  const out = new Map<string, BuiltFile>()
  for (const name of readdirSync(folder, { recursive: true, encoding: 'utf8' })) {
    const path = join(folder, name)
    if (!statSync(path).isFile()) continue
    const type = TYPES[extname(path)] ?? 'application/octet-stream'
    out.set(`/${name.replaceAll('\\', '/')}`, { type, body: new Uint8Array(readFileSync(path)) })
  }
  const start = out.get('/index.html')
  if (start !== undefined) out.set('/', start)
  return out
}

/** Names by which this computer calls itself. Another name in a request means that a foreign page found a way to this port. */
export function isOwnHost(host: string | undefined, port: number): boolean {
  return ['127.0.0.1', 'localhost', '[::1]'].some((name) => host === `${name}:${port}`)
}

export interface Site {
  readonly fetch: (request: Request) => Response | Promise<Response>
}

/** The site that stands in `folder`, answering only requests that name this computer and `port()`. */
export function siteOf(folder: string, port: () => number): Site {
  const files = filesOf(folder)
  const app = new Hono()
  app.use(async (c, next) => {
    if (!isOwnHost(c.req.header('host'), port())) return c.text('This page is only for this computer.\n', 403, HEADERS)
    const site = c.req.header('sec-fetch-site')
    const isPage = c.req.header('sec-fetch-mode') === 'navigate'
    if (site === 'cross-site' && !isPage) return c.text('Not for other pages.\n', 403, HEADERS)
    if (c.req.method !== 'GET' && c.req.method !== 'HEAD')
      return c.text('Only reading is possible here.\n', 405, { ...HEADERS, Allow: 'GET, HEAD' })
    return await next()
  })
  app.get('/hello', (c) => c.text(HELLO, 200, { ...HEADERS, 'Cache-Control': 'no-store' }))
  app.get('*', (c) => {
    const path = new URL(c.req.url).pathname
    const file = files.get(path)
    if (file === undefined) return c.text('There is nothing here. The page is at /\n', 404, HEADERS)
    return c.body(file.body, 200, {
      ...HEADERS,
      'Content-Type': file.type,
      // Names of assets hold a fingerprint of their content.
      'Cache-Control': path.startsWith('/assets/') ? 'public, max-age=31536000, immutable' : 'no-cache',
    })
  })
  return { fetch: app.fetch }
}
