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

/** What moves the page, one step a frame; runs in the page. Resolves to the times between frames, ms. */
function drive([kind, count]) {
  const host = document.querySelector('.time-panels')
  const slider = document.querySelector('input[type=range]')
  const box = host.getBoundingClientRect()
  const middle = box.left + box.width / 2
  const pointer = (type, x) => {
    const where = { bubbles: true, pointerId: 9, button: 0, shiftKey: true, clientX: x, clientY: box.top + 40 }
    host.dispatchEvent(new PointerEvent(type, where))
  }
  const { min, max } = slider
  // There and back, so that no end is reached for long.
  const steps = {
    pan: (k) => pointer('pointermove', middle + box.width * 0.4 * Math.sin(k / 25)),
    play: () => undefined,
    drag: (k) => {
      slider.value = String(Number(min) + (max - min) * (0.5 + 0.15 * Math.sin(k / 25)))
      slider.dispatchEvent(new InputEvent('input', { bubbles: true }))
    },
  }
  // A pointer that no hand holds cannot be captured.
  host.setPointerCapture = () => undefined
  if (kind === 'pan') pointer('pointerdown', middle)
  return new Promise((resolve) => {
    const times = []
    let before = null
    const next = (now) => {
      if (before !== null) times.push(now - before)
      before = now
      if (times.length >= count) {
        if (kind === 'pan') pointer('pointerup', middle)
        resolve(times)
        return
      }
      steps[kind](times.length)
      requestAnimationFrame(next)
    }
    requestAnimationFrame(next)
  })
}

const SCRIPT = new Set(['FunctionCall', 'EvaluateScript', 'v8.callFunction', 'RunMicrotasks', 'MinorGC', 'MajorGC'])

/** Processor time of the page's main thread, frame by frame, in all and in script: ms. It does not grow when others use the processor. */
function workOf(trace) {
  const { traceEvents } = JSON.parse(trace.toString())
  const isMain = new Set(
    traceEvents.filter((e) => e.name === 'thread_name' && e.args.name === 'CrRendererMain').map((e) => `${e.pid} ${e.tid}`),
  )
  const counts = new Map()
  for (const e of traceEvents)
    if (e.name === 'FireAnimationFrame' && isMain.has(`${e.pid} ${e.tid}`)) counts.set(e.pid, (counts.get(e.pid) ?? 0) + 1)
  const [pid] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? []
  const own = traceEvents
    .filter((e) => e.ph === 'X' && e.tdur !== undefined && e.pid === pid && isMain.has(`${e.pid} ${e.tid}`))
    .sort((a, b) => a.ts - b.ts || b.dur - a.dur)
  // A frame begins with the task that calls for it; what comes between, such as an answer of a worker, belongs to it.
  const all = []
  const script = []
  let task = { end: 0, all: 0, script: 0, isFrame: false }
  let scriptEnd = 0
  const close = () => {
    if (task.isFrame) {
      all.push(0)
      script.push(0)
    }
    if (all.length === 0) return
    all[all.length - 1] += task.all
    script[script.length - 1] += task.script
  }
  for (const e of own) {
    if (e.ts >= task.end) {
      close()
      task = { end: e.ts + e.dur, all: e.tdur / 1000, script: 0, isFrame: false }
    }
    if (e.name === 'FireAnimationFrame') task.isFrame = true
    if (SCRIPT.has(e.name) && e.ts >= scriptEnd) {
      task.script += e.tdur / 1000
      scriptEnd = e.ts + e.dur
    }
  }
  close()
  return { all, script }
}

const sorted = (values) => [...values].sort((a, b) => a - b)
const share = (values, q) => sorted(values)[Math.min(values.length - 1, Math.floor(values.length * q))] ?? NaN

/** Prints rows through `note`. */
export async function frames(browser, address, note) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 1000 }, serviceWorkers: 'block' })
  const page = await context.newPage()
  await page.goto(`${address}#/rehearsal/example-tide-in-a-jar`)
  await page.locator('.course-words').waitFor()

  async function measure(what, kind) {
    await browser.startTracing(page, { categories: ['toplevel', 'devtools.timeline', 'v8', 'blink'] })
    const times = await page.evaluate(drive, [kind, FRAMES])
    const { all, script } = workOf(await browser.stopTracing())
    const late = times.filter((t) => t > FRAME_MS * 1.05).length
    const text = (values) => `${share(values, 0.5).toFixed(1)} / ${share(values, 0.95).toFixed(1)} / ${Math.max(...values).toFixed(1)} ms`
    note(`${what}: script a frame, median / 95 in 100 / worst of ${FRAMES}`, text(script), 'worst <= 16.7 ms')
    note(`${what}: main thread a frame, the same`, text(all), '95 in 100 <= 16.7 ms')
    note(`${what}: time between frames, the same`, text(times), '16.7 ms (60 a second)')
    note(`${what}: frames later than 16.7 ms`, `${late} of ${times.length}`, 'few; drawn in software here')
  }

  const panels = page.locator('.time-panels')
  async function panning(what) {
    await panels.scrollIntoViewIfNeeded()
    await panels.focus()
    await page.keyboard.press('0')
    for (let k = 0; k < 3; k++) await page.keyboard.press('+')
    await measure(what, 'pan')
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
  await page.locator('.transport .play').click()
  await measure('playing, with the record', 'play')
  await page.locator('.transport .play').click()
  await measure('slider dragged, with the record', 'drag')
  await context.close()
}
