#!/usr/bin/env node
// `npm run bench:web`: how fast the page is in a real browser on this computer. Prints one table; decides nothing.
import { existsSync, readFileSync } from 'node:fs'
import { availableParallelism, loadavg } from 'node:os'
import { gzipSync } from 'node:zlib'
import { openSite } from '../tools/open-site.mjs'
import { frames } from './web-frames.mjs'

const DRAGS = Number(process.env.DRAGS ?? 1000)
const OPENED = Number(process.env.OPENED ?? 200)
const site = 'apps/web/dist/site'
const { browser, address, close } = await openSite(['--enable-precise-memory-info', '--js-flags=--expose-gc'])
const rows = []
console.log(`others on this computer: load ${loadavg()[0].toFixed(1)} on ${availableParallelism()} cores`)
const note = (what, value, target) => {
  rows.push([what, value, target])
  console.log(`${what.padEnd(72)} ${value.padEnd(26)} ${target}`)
}
const ms = (x) => `${x.toFixed(0)} ms`
const sorted = (values) => [...values].sort((a, b) => a - b)
const middle = (values) => sorted(values)[Math.floor(values.length / 2)] ?? NaN
const share = (values, q) => sorted(values)[Math.min(values.length - 1, Math.floor(values.length * q))] ?? NaN

// Script of the first view: the entry and everything it names before anything is opened.
async function firstView() {
  const times = []
  const scripts = new Set()
  for (let k = 0; k < 5; k++) {
    const context = await browser.newContext({ serviceWorkers: 'block' })
    const page = await context.newPage()
    page.on('response', (r) => r.url().endsWith('.js') && !/worker/.test(r.url()) && scripts.add(new URL(r.url()).pathname))
    await page.goto(address)
    // Usable: the list stands, its first button can be pressed.
    await page.locator('.bench-open').first().waitFor()
    times.push(await page.evaluate(() => performance.now()))
    await context.close()
  }
  const bytes = [...scripts].reduce(
    (sum, path) => (existsSync(site + path) ? sum + gzipSync(readFileSync(site + path), { level: 9 }).length : sum),
    0,
  )
  note('first view usable, median of 5 (worst)', `${ms(middle(times))} (${ms(Math.max(...times))})`, '<= 1000 ms')
  note('compressed script of the first view', `${(bytes / 1024).toFixed(1)} kB in ${scripts.size} files`, '<= 300 kB')
}

const heapMb = async (page) => {
  await page.evaluate(() => globalThis.gc?.())
  return page.evaluate(() => performance.memory.usedJSHeapSize / 1e6)
}

/** In the page: notes the time from asking a worker to its answer, arrived and unpacked. */
function watchWorkers() {
  globalThis.workerTimes = []
  const heard = new WeakSet()
  const asked = new Map()
  const ask = Reflect.get(Worker.prototype, 'postMessage')
  Worker.prototype.postMessage = function postMessage(...given) {
    if (!heard.has(this)) {
      heard.add(this)
      this.addEventListener('message', (event) => {
        const from = asked.get(event.data?.id)
        if (from !== undefined) globalThis.workerTimes.push(performance.now() - from)
      })
    }
    asked.set(given[0]?.id, performance.now())
    return ask.apply(this, given)
  }
}

// Drags of the first ingredient of the oscillator: from the event to the end of the frame in which the large strip has changed.
async function drags() {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, serviceWorkers: 'block' })
  const page = await context.newPage()
  await page.addInitScript(watchWorkers)
  await page.goto(`${address}#/rehearsal/example-tide-in-a-jar`)
  await page.locator('.course-words').waitFor()
  await page.waitForTimeout(4000)
  const before = await heapMb(page)
  const result = await page.evaluate(async (count) => {
    const long = []
    new PerformanceObserver((list) => list.getEntries().forEach((e) => long.push(e.duration))).observe({ entryTypes: ['longtask'] })
    const slider = document.querySelector('input[type=range]')
    const canvas = document.querySelector('.time canvas.strip')
    const context = canvas.getContext('2d')
    // A few columns of the drawn strip are enough to see that another one was drawn.
    const mark = () => {
      let sum = 0
      const row = context.getImageData(0, 20, canvas.width, 1).data
      for (let i = 0; i < row.length; i += 4) sum = (sum * 31 + row[i] + row[i + 1] * 3 + row[i + 2] * 7) | 0
      return sum
    }
    const { min, max } = slider
    // The page draws within a frame, after whatever asked for that frame earlier: a look at the strip must come behind all of it.
    const channel = new MessageChannel()
    channel.port1.start()
    const frameDone = () =>
      new Promise((then) =>
        requestAnimationFrame(() => {
          channel.port1.addEventListener('message', then, { once: true })
          channel.port2.postMessage(null)
        }),
      )
    const times = []
    const answeredBefore = globalThis.workerTimes.length
    let missed = 0
    for (let k = 0; k < count; k++) {
      const was = mark()
      const at = Number(min) + (Number(max) - Number(min)) * (0.5 + 0.15 * Math.sin(k / 7 + 0.1))
      slider.value = String(at)
      const t0 = performance.now()
      slider.dispatchEvent(new InputEvent('input', { bubbles: true }))
      let changed = false
      while (performance.now() - t0 < 400) {
        await frameDone()
        if (mark() !== was) {
          changed = true
          break
        }
      }
      if (changed) times.push(performance.now() - t0)
      else missed++
    }
    return { times, missed, long, inWorker: globalThis.workerTimes.slice(answeredBefore) }
  }, DRAGS)
  const after = await heapMb(page)
  const { times, missed, long, inWorker } = result
  note('recipe to colour strip in the worker, least / median', `${ms(Math.min(...inWorker))} / ${ms(middle(inWorker))}`, '<= 16 ms')
  const first = times.slice(0, 50)
  note(`slider to new strip, median of ${times.length}`, ms(middle(times)), '<= 50 ms')
  note('slider to new strip, 95 in 100 / worst', `${ms(share(times, 0.95))} / ${ms(Math.max(...times))}`, 'worst <= 100 ms')
  note('slider to new strip, worst after the first 50', ms(Math.max(...times.slice(first.length))), 'worst <= 100 ms')
  note('drags whose strip did not change within 400 ms', `${missed}`, '')
  note('long tasks of the page during the drags (worst)', `${long.length} (${ms(Math.max(0, ...long))})`, '0 over 50 ms')
  note(`heap of the page before and after ${DRAGS} drags`, `${before.toFixed(1)} / ${after.toFixed(1)} MB`, 'flat')
  await context.close()
}

async function opening() {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, serviceWorkers: 'block' })
  const page = await context.newPage()
  await page.goto(address)
  await page.locator('.bench-open').first().waitFor()
  const names = await page.locator('.bench-open').count()
  const heaps = []
  const times = []
  for (let k = 0; k < OPENED; k++) {
    const t0 = Date.now()
    await page
      .locator('.bench-open')
      .nth(k % names)
      .click()
    await page.locator('.course-words').waitFor()
    times.push(Date.now() - t0)
    await page.evaluate(() => (location.hash = '#/bench'))
    await page.locator('.bench-open').first().waitFor()
    if (k === 9 || k === Math.floor(OPENED / 2) || k === OPENED - 1) heaps.push(await heapMb(page))
  }
  note(`bench to sentences of an opened demonstration, median of ${OPENED}`, ms(middle(times)), '')
  note(
    `heap after 10, ${Math.floor(OPENED / 2)}, ${OPENED} opened demonstrations`,
    `${heaps.map((h) => h.toFixed(1)).join(' / ')} MB`,
    'flat',
  )
  await context.close()
}

// One part alone: `node bench/web.mjs frames`.
const parts = { firstView, drags, opening, frames: () => frames(browser, address, note) }
for (const [name, part] of Object.entries(parts)) if (process.argv[2] === undefined || process.argv[2] === name) await part()
await close()
