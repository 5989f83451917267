#!/usr/bin/env node
// `npm run pictures:tutorial`: follows docs/tutorial.md in a browser, as its test does, and takes its pictures into docs/pictures/tutorial/.
import { spawn } from 'node:child_process'

const env = { ...process.env, BEAKERTIDE_SITE_IS_BUILT: 'yes', BEAKERTIDE_TUTORIAL_PICTURES: 'yes' }
const args = ['node_modules/vitest/vitest.mjs', 'run', '--project', 'browser', 'apps/web/tests/newcomer.browser.test.ts']
spawn(process.execPath, args, { env, stdio: 'inherit' }).on('exit', (code) => process.exit(code ?? 1))
