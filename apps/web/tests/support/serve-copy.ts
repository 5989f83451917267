/** A copy of the built page on a port of its own, to be changed under a browser's feet as a new version is. */
import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

const root = fileURLToPath(new URL('../../../../', import.meta.url))

export interface ServedCopy {
  readonly address: string
  /** Replaces text of the page itself and starts the server again on the same port, as the next version would be. */
  change(from: string, to: string): Promise<void>
  end(): Promise<void>
}

export async function serveCopy(): Promise<ServedCopy> {
  // Inside of the project, so that the server finds its libraries.
  const folder = mkdtempSync(`${root}apps/web/dist/copy-`)
  for (const part of ['site', 'server']) cpSync(`${root}apps/web/dist/${part}`, `${folder}/${part}`, { recursive: true })
  let server: ChildProcess | undefined
  const start = async (port: string): Promise<string> => {
    const started = spawn(process.execPath, [`${folder}/server/start.js`, '--port', port, '--no-open'], {
      stdio: ['ignore', 'pipe', 'inherit'],
    })
    server = started
    let said = ''
    for await (const part of started.stdout) {
      said += String(part)
      const found = /http:\/\/127\.0\.0\.1:\d+\//.exec(said)?.[0]
      if (found !== undefined) return found
    }
    throw new Error(`the server ended: ${said}`)
  }
  const stop = async (): Promise<void> => {
    const running = server
    server = undefined
    if (!running || running.exitCode !== null) return
    running.kill()
    await once(running, 'exit')
  }
  const address = await start('0')
  return {
    address,
    change: async (from, to) => {
      await stop()
      const page = `${folder}/site/index.html`
      writeFileSync(page, readFileSync(page, 'utf8').replace(from, to))
      // The build names a version after all its files.
      const worker = `${folder}/site/service-worker.js`
      writeFileSync(worker, readFileSync(worker, 'utf8').replace(/("?mark"?:\s*")[0-9a-f]+/, '$1ffffffffffffffff'))
      await start(new URL(address).port)
    },
    end: async () => {
      await stop()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}
