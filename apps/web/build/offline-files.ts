/** After the bundle: the service worker with the list of all files in it, so that one visit is enough for the time without a network. */
import { createHash } from 'node:crypto'
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { type Plugin, transformWithOxc } from 'vite'

/** Reads what stands in `folder` when everything is written, and adds `service-worker.js`. */
export function offlineFiles(here: string, folder: string): Plugin {
  return {
    name: 'offline-files',
    apply: 'build',
    async closeBundle() {
      const names = readdirSync(folder, { recursive: true, encoding: 'utf8' })
        .map((name) => name.replaceAll('\\', '/'))
        .filter((name) => statSync(`${folder}/${name}`).isFile() && !name.startsWith('.vite/') && name !== 'service-worker.js')
        .sort()
      const hash = createHash('sha256')
      for (const name of names) hash.update(name).update(readFileSync(`${folder}/${name}`))
      const files = { mark: hash.digest('hex').slice(0, 16), paths: names.map((name) => `./${name}`) }
      const source = readFileSync(`${here}src/service-worker.ts`, 'utf8').replace(/^export \{\}$/m, '')
      const { code } = await transformWithOxc(source, 'service-worker.ts')
      writeFileSync(`${folder}/service-worker.js`, code.replace(/^export \{\s*\};?$/m, '').replaceAll('__FILES__', JSON.stringify(files)))
    },
  }
}
