/** What a command may touch of the world outside: files, streams, clock. Commands get it as their context, tests give their own. */
import { readFileSync, statSync, writeFileSync } from 'node:fs'

export interface Door {
  readonly process: {
    readonly stdout: { write(text: string): unknown; readonly isTTY?: boolean; readonly columns?: number }
    readonly stderr: { write(text: string): unknown; readonly isTTY?: boolean }
    readonly env?: Readonly<Partial<Record<string, string>>>
    exitCode?: number | string | null | undefined
  }
  /** Text of a file, or why it cannot be read. */
  readText(path: string, mostBytes: number): { readonly ok: true; readonly text: string } | { readonly ok: false; readonly why: string }
  writeText(path: string, text: string): void
  now(): number
}

/** The real door of this process. */
export function realDoor(): Door {
  return {
    process,
    readText(path, mostBytes) {
      try {
        const facts = statSync(path)
        if (!facts.isFile()) return { ok: false, why: 'it is not a file' }
        if (facts.size > mostBytes) {
          return { ok: false, why: `it has ${(facts.size / 1e6).toFixed(1)} MB; at most ${(mostBytes / 1e6).toFixed(1)} MB are read` }
        }
        return { ok: true, text: readFileSync(path, 'utf8') }
      } catch (error) {
        const code = error instanceof Error && 'code' in error ? String(error.code) : ''
        const words: Readonly<Record<string, string>> = {
          ENOENT: 'there is no such file',
          EACCES: 'this user may not read it',
          EISDIR: 'it is a folder',
        }
        return { ok: false, why: words[code] ?? `it cannot be read (${code || 'unknown cause'})` }
      }
    },
    writeText: (path, text) => writeFileSync(path, text),
    now: () => performance.now(),
  }
}

/** Colours are written to a terminal that has them; NO_COLOR (a common agreement of terminal programs) and TERM=dumb turn them off. */
export function lookOf(door: Door, plain: boolean): { readonly columns: number; readonly colour: boolean } {
  const { stdout, env } = door.process
  const colour = !plain && stdout.isTTY === true && (env?.NO_COLOR ?? '') === '' && env?.TERM !== 'dumb'
  return { columns: Math.min(stdout.columns ?? USUAL_COLUMNS, WIDEST_COLUMNS), colour }
}

const USUAL_COLUMNS = 100
/** Longer lines of text are hard to read. */
const WIDEST_COLUMNS = 120
