/** One line on standard error that is rewritten while something takes longer than a second. Nothing is written when it is not a terminal. */
export interface Progress {
  update(done: number, of: number, what: string): void
  finish(): void
}

/** Anything faster needs no progress line. */
const QUIET_MS = 1000
const REDRAW_MS = 120

export function progressOn(stream: { readonly isTTY?: boolean; write(text: string): unknown }, now: () => number): Progress {
  const started = now()
  let drawn = 0
  let shown = false
  return {
    update(done, of, what) {
      const t = now()
      if (!stream.isTTY || t - started < QUIET_MS || t - drawn < REDRAW_MS) return
      drawn = t
      shown = true
      stream.write(`\r\u001b[2K${what}: ${done} of ${of}`)
    },
    finish() {
      if (shown) stream.write('\r\u001b[2K')
    },
  }
}
