// Frames of the rehearsal while a hand or the clock moves it, with a measured record of 10,000 rows laid over: part of `npm run bench:web`.

const ROWS = 10_000
const FRAMES = Number(process.env.FRAMES ?? 300)
const FRAME_MS = 1000 / 60

/** A made-up bath: two electrodes' worth of swings, a photometer and a thermometer, with scatter. Seeded, so every run draws the same. */
function record() {
  let seed = 1
  const scatter = () => {
    seed = (seed * 48271) % 2147483647
    return seed / 2147483647 - 0.5
  }
  const lines = ['t (s);E (mV);A 520 nm;T (°C);pH']
  for (let i = 0; i < ROWS; i++) {
    const t = i * 0.09
    const swing = Math.tanh(6 * Math.sin((2 * Math.PI * t) / 18))
    const cells = [
      t.toFixed(2),
      120 + 60 * swing + 8 * scatter(),
      0.7 + 0.4 * swing + 0.05 * scatter(),
      21 + t / 600 + 0.1 * scatter(),
      1.2,
    ]
    lines.push(cells.map((x) => (typeof x === 'number' ? x.toFixed(4) : x)).join(';'))
  }
  return lines.join('\n')
}

/** Before the page's own script: every call that a frame makes is timed, and so is every handler of the pointer. */
function watchFrames() {
  const own = globalThis.requestAnimationFrame.bind(globalThis)
  let spent = 0
  const timed = (call) =>
    function (...given) {
      const t0 = performance.now()
      try {
        return call.apply(this, given)
      } finally {
        spent += performance.now() - t0
      }
    }
  globalThis.requestAnimationFrame = (call) => own(timed(call))
  const listen = EventTarget.prototype.addEventListener
  const WATCHED = new Set(['pointermove', 'mousemove', 'input', 'wheel', 'message'])
  EventTarget.prototype.addEventListener = function (kind, call, options) {
    return listen.call(this, kind, WATCHED.has(kind) && typeof call === 'function' ? timed(call) : call, options)
  }
  /** Times of `count` frames, and the script of each: ms. */
  globalThis.benchFrames = (count) =>
    new Promise((resolve) => {
      const frames = []
      const scripts = []
      let before = null
      const next = (now) => {
        if (before !== null) {
          frames.push(now - before)
          scripts.push(spent)
        }
        spent = 0
        before = now
        if (frames.length < count) own(next)
        else resolve({ frames, scripts })
      }
      own(next)
    })
}

const sorted = (values) => [...values].sort((a, b) => a - b)
const share = (values, q) => sorted(values)[Math.min(values.length - 1, Math.floor(values.length * q))] ?? NaN

/** Prints rows through `note`. */
export async function frames(browser, address, note) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 1000 }, serviceWorkers: 'block' })
  await context.addInitScript(watchFrames)
  const page = await context.newPage()
  const cdp = await context.newCDPSession(page)
  await cdp.send('Performance.enable')
  const spentMs = async () => {
    const { metrics } = await cdp.send('Performance.getMetrics')
    const of = (name) => 1000 * (metrics.find((m) => m.name === name)?.value ?? 0)
    return { script: of('ScriptDuration'), layout: of('LayoutDuration') + of('RecalcStyleDuration'), task: of('TaskDuration') }
  }
  await page.goto(`${address}#/rehearsal/example-tide-in-a-jar`)
  await page.locator('.course-words').waitFor()

  /** Moves with `hand` until the page has counted its frames. */
  async function measure(what, hand) {
    const before = await spentMs()
    let isDone = false
    const counted = page
      .evaluate((count) => globalThis.benchFrames(count), FRAMES)
      .then((result) => {
        isDone = true
        return result
      })
    for (let k = 0; !isDone; k++) await hand(k)
    const { frames: times, scripts } = await counted
    const after = await spentMs()
    const late = times.filter((t) => t > FRAME_MS * 1.05).length
    const text = (values) => `${share(values, 0.5).toFixed(1)} / ${share(values, 0.95).toFixed(1)} / ${Math.max(...values).toFixed(1)} ms`
    note(`${what}: frame, median / 95 in 100 / worst of ${FRAMES}`, text(times), '16.7 ms (60 a second)')
    note(`${what}: frames later than 16.7 ms`, `${late} of ${times.length}`, 'few; drawn in software here')
    note(`${what}: script a frame, median / 95 in 100 / worst`, text(scripts), 'worst under 16.7 ms')
    const mean = (key) => ((after[key] - before[key]) / times.length).toFixed(1)
    note(
      `${what}: main thread a frame, script / layout / all`,
      `${mean('script')} / ${mean('layout')} / ${mean('task')} ms`,
      'all under 16.7 ms',
    )
  }

  const pause = () => new Promise((resolve) => setTimeout(resolve, 4))
  const panels = page.locator('.time-panels')
  async function grip() {
    await panels.scrollIntoViewIfNeeded()
    const box = await panels.boundingBox()
    return { middle: box.x + box.width / 2, y: Math.max(box.y, 60) + 40, width: box.width }
  }
  async function panning(what) {
    await panels.focus()
    await page.keyboard.press('0')
    for (let k = 0; k < 3; k++) await page.keyboard.press('+')
    const { middle, y, width } = await grip()
    await page.keyboard.down('Shift')
    await page.mouse.move(middle, y)
    await page.mouse.down()
    // There and back, so that the window is never at its end for long.
    await measure(what, async (k) => {
      await page.mouse.move(middle + width * 0.4 * Math.sin(k / 40), y)
      await pause()
    })
    await page.mouse.up()
    await page.keyboard.up('Shift')
    await page.keyboard.press('0')
  }

  await page.waitForTimeout(4000)
  await panning('pan, traces only')
  const t0 = performance.now()
  await page.locator('.measured input[type=file]').setInputFiles({ name: 'bath.csv', mimeType: 'text/csv', buffer: Buffer.from(record()) })
  await page.locator('.measured-one').waitFor()
  note(`record of ${ROWS} rows, 4 columns: chosen to shown`, `${(performance.now() - t0).toFixed(0)} ms`, '')
  await page.waitForTimeout(1000)
  await panning(`pan, record of ${ROWS} rows`)
  await panels.focus()
  await page.keyboard.press('Home')
  await page.evaluate(() => scrollTo(0, 0))
  await page.locator('.transport .play').click()
  await measure('playing, with the record', pause)
  await page.locator('.transport .play').click()
  const slider = page.locator('input[type=range]').first()
  await slider.scrollIntoViewIfNeeded()
  const box = await slider.boundingBox()
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2]
  await page.mouse.move(x, y)
  await page.mouse.down()
  await measure('slider dragged, with the record', async (k) => {
    await page.mouse.move(x + box.width * 0.2 * Math.sin(k / 60), y)
    await pause()
  })
  await page.mouse.up()
  await context.close()
}
