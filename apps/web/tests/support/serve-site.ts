/** Once for all browser tests: the page is built (unless it just was) and served on a free loopback port. */
import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { fileURLToPath } from 'node:url'
import type { TestProject } from 'vitest/node'

declare module 'vitest' {
  interface ProvidedContext {
    /** Address of the served page, with its last slash. */
    address: string
  }
}

const root = fileURLToPath(new URL('../../../../', import.meta.url))

async function run(args: readonly string[]): Promise<void> {
  // The test runner calls itself "test"; what is built is the page as people get it.
  const env = { ...process.env, NODE_ENV: 'production' }
  const child = spawn(process.execPath, args, { cwd: root, stdio: 'inherit', env })
  const [code] = (await once(child, 'exit')) as [number]
  if (code !== 0) throw new Error(`"node ${args.join(' ')}" failed`)
}

export default async function serveSite(project: TestProject): Promise<() => void> {
  if (process.env['BEAKERTIDE_SITE_IS_BUILT'] === undefined) {
    await run(['node_modules/typescript-native/bin/tsc', '-b', 'demonstration', 'data', 'apps/web/server'])
    await run(['node_modules/vite/bin/vite.js', 'build', 'apps/web', '--logLevel', 'warn'])
  }
  const server = spawn(process.execPath, ['apps/web/dist/server/start.js', '--port', '0', '--no-open'], {
    cwd: root,
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const address = await new Promise<string>((resolve, reject) => {
    let said = ''
    server.stdout.on('data', (part: Buffer) => {
      said += part.toString()
      const found = /http:\/\/127\.0\.0\.1:\d+\//.exec(said)?.[0]
      if (found !== undefined) resolve(found)
    })
    server.on('exit', (code) => reject(new Error(`the server ended with ${code}: ${said}`)))
  })
  project.provide('address', address)
  return () => {
    server.kill()
  }
}
