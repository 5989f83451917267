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
          exclude: ['**/dist/**', '**/node_modules/**'],
        },
      },
      { ...fromSource, extends: true, test: { name: 'checks', include: ['checks/**/*.check.ts'] } },
      { ...fromSource, extends: true, test: { name: 'examples', include: ['examples/**/*.test.ts'] } },
    ],
  },
})
