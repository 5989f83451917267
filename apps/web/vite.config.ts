import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vite'
import solid from 'vite-plugin-solid'
import { exampleStrips } from './build/example-strips.ts'
import { offlineFiles } from './build/offline-files.ts'
import { packedFacts } from './build/packed-facts.ts'
import { packedPhrases } from './build/packed-phrases.ts'

const here = fileURLToPath(new URL('.', import.meta.url))

/** How long each plugin takes is no news to whoever starts the page; what the bundler warns of otherwise is still told. */
const quietTimings = { checks: { bundlerTimings: false } }

/** The site is built from the sources of all packages; Node only serves the files. */
export default defineConfig({
  root: here,
  base: './',
  // Styles as attributes in markup are forbidden by the page's security policy; set one by one on elements they are not.
  plugins: [
    packedFacts(`${here}generated`),
    packedPhrases(`${here}generated`),
    exampleStrips(here),
    solid({ solid: { inlineStyles: false } as object }),
    offlineFiles(here, `${here}dist/site`),
  ],
  resolve: { conditions: ['source', 'solid', 'module', 'browser', 'import', 'default'] },
  worker: { format: 'es', rolldownOptions: quietTimings },
  build: {
    rolldownOptions: quietTimings,
    outDir: 'dist/site',
    emptyOutDir: true,
    target: 'es2023',
    assetsInlineLimit: 0,
    manifest: true,
    modulePreload: { polyfill: false },
  },
})
