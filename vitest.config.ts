import { defineConfig } from 'vitest/config'

/** Sources are tested as written, without a build: the "source" condition of each package's exports. */
const fromSource = {
  resolve: { conditions: ['source', 'node', 'import', 'default'] },
  ssr: { resolve: { conditions: ['source', 'node', 'import', 'default'] } },
}

/**
 * As many test files at a time as there are cores (by itself the runner leaves one core out, and of two that is half), and modules read once a worker, not once a
 * file: what our modules remember from call to call must not be noticed anyway. Both together halve the time.
 */
const quick = { maxWorkers: '100%', isolate: false } as const

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
          ...quick,
          name: 'unit',
          include: ['{basis,core,data,demonstration,apps}/**/*.test.ts'],
          exclude: ['**/dist/**', '**/node_modules/**', '**/*.browser.test.ts'],
        },
      },
      { ...fromSource, extends: true, test: { ...quick, name: 'checks', include: ['checks/**/*.check.ts'] } },
      { ...fromSource, extends: true, test: { ...quick, name: 'examples', include: ['examples/**/*.test.ts'] } },
      {
        // Real Chromium on the built page; one file at a time and after all others, so that nothing slows a page.
        extends: true,
        test: {
          name: 'browser',
          include: ['apps/web/tests/**/*.browser.test.ts'],
          globalSetup: ['apps/web/tests/support/serve-site.ts'],
          fileParallelism: false,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
})
