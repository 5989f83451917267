#!/usr/bin/env node
import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

const built = new URL('../dist/start.js', import.meta.url)
if (!existsSync(fileURLToPath(built))) {
  console.error('Beakertide is not built yet: run "npm run build" in its folder first.')
  process.exit(2)
}
await import(built.href)
