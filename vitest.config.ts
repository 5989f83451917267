import { defineConfig } from 'vitest/config'

/** Sources are tested as written, without a build: the "source" condition of each package's exports. */
const fromSource = {
  resolve: { conditions: ['source', 'node', 'import', 'default'] },
  ssr: { resolve: { conditions: ['source', 'node', 'import', 'default'] } },
}

export default defineConfig({
  ...fromSource,
  test: {
    coverage: {
      provider: 'v8',
      include: ['basis/**/*.ts', 'core/**/*.ts'],
      exclude: ['**/*.test.ts', '**/dist/**'],
      reporter: ['text-summary', 'json-summary'],
    },
    testTimeout: 60_000,
    projects: [
      {
        ...fromSource,
        extends: true,
        test: {
          name: 'unit',
          include: ['{basis,core,data,demonstration,apps}/**/*.test.ts'],
          exclude: ['**/dist/**', '**/node_modules/**', '**/*.browser.test.ts'],
        },
      },
      { ...fromSource, extends: true, test: { name: 'checks', include: ['checks/**/*.check.ts'] } },
      { ...fromSource, extends: true, test: { name: 'examples', include: ['examples/**/*.test.ts'] } },
      {
        // Real Chromium on the built page; one file at a time, so that pages do not slow each other.
        extends: true,
        test: {
          name: 'browser',
          include: ['apps/web/tests/**/*.browser.test.ts'],
          globalSetup: ['apps/web/tests/support/serve-site.ts'],
          fileParallelism: false,
        },
      },
    ],
  },
})
