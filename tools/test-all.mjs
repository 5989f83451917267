#!/usr/bin/env node
// `npm test`: everything, in the order in which a fault is cheapest to find. Ends with "N passed, N failed".
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs'

const root = new URL('..', import.meta.url).pathname
process.chdir(root)
mkdirSync('out', { recursive: true })
const report = 'out/test-report.json'
rmSync(report, { force: true })

const bin = (name) => `node_modules/.bin/${name}`
const tsc = ['node_modules/typescript-native/bin/tsc']
const stages = [
  { name: 'format', command: bin('biome'), args: ['format', '.'] },
  { name: 'types and build', command: process.execPath, args: [...tsc, '-b'] },
  { name: 'types of tests', command: process.execPath, args: [...tsc, '-p', 'tsconfig.test.json'] },
  { name: 'types of page tests', command: process.execPath, args: [...tsc, '-p', 'apps/web/tests'] },
  { name: 'build of the page', command: bin('vite'), args: ['build', 'apps/web', '--logLevel', 'warn'] },
  // After the build: rules that know types need the declarations of the other packages.
  { name: 'lint', command: bin('oxlint'), args: ['--type-aware', '--quiet'] },
  { name: 'rooms', command: process.execPath, args: ['tools/rooms.mjs'] },
  {
    name: 'tests, outside checks, examples, coverage',
    command: bin('vitest'),
    args: ['run', '--coverage', '--reporter=default', '--reporter=json', `--outputFile.json=${report}`],
  },
  { name: 'coverage of basis and core', command: process.execPath, args: ['tools/coverage-floor.mjs'] },
  { name: 'ledger of outside checks', command: process.execPath, args: ['tools/ledger.mjs'] },
]

let failedStages = 0
let passedStages = 0
for (const { name, command, args } of stages) {
  console.log(`\n== ${name}`)
  const started = Date.now()
  const run = spawnSync(command, args, { stdio: 'inherit', env: { ...process.env, BEAKERTIDE_SITE_IS_BUILT: '1' } })
  const ok = run.status === 0
  if (ok) passedStages++
  else failedStages++
  console.log(`== ${name}: ${ok ? 'ok' : 'FAILED'} (${((Date.now() - started) / 1000).toFixed(1)} s)`)
}

let passed = passedStages
let failed = failedStages
let skipped = 0
if (existsSync(report)) {
  const tests = JSON.parse(readFileSync(report, 'utf8'))
  passed += tests.numPassedTests
  failed += tests.numFailedTests
  skipped = tests.numPendingTests + tests.numTodoTests
}
console.log('')
console.log(`${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`)
process.exit(failedStages > 0 || failed > 0 ? 1 : 0)
