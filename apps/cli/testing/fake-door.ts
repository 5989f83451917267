/** A door for tests: reads given texts and the shipped examples, keeps everything that is written. */
import { main } from '../main.ts'
import { type Door, type Read, realDoor } from '../terminal/door.ts'

export interface Call {
  readonly out: string
  readonly err: string
  readonly code: number | string | null | undefined
  /** Path -> text of every file written. */
  readonly written: ReadonlyMap<string, string>
  /** Path -> bytes of every picture of dots written. */
  readonly bytes: ReadonlyMap<string, Uint8Array>
  /** Paths asked for. */
  readonly read: readonly string[]
}

export interface Scene {
  /** Texts by path; other paths are read from the disk. */
  readonly files?: Readonly<Record<string, string>>
  readonly terminal?: boolean
  readonly columns?: number
  readonly env?: Readonly<Record<string, string>>
  /** Milliseconds each look at the clock takes. */
  readonly tickMs?: number
  readonly unwritable?: boolean
  /** Somebody presses Ctrl-C as soon as long work begins. */
  readonly interrupted?: boolean
}

const example = (name: string): string => new URL(`../../../examples/${name}`, import.meta.url).pathname
export const right = (name: string): string => example(`right/${name}.yaml`)
export const wrong = (name: string): string => example(`wrong/${name}.yaml`)

/** Runs one command line at a fake door. */
export async function call(args: readonly string[], scene: Scene = {}): Promise<Call> {
  let out = ''
  let err = ''
  let clock = 0
  const written = new Map<string, string>()
  const bytes = new Map<string, Uint8Array>()
  const read: string[] = []
  const { files = {}, terminal = false, columns = 100, env = {}, tickMs = 0 } = scene
  const disk = realDoor()
  const given = (path: string): Read | null => (Object.hasOwn(files, path) ? { ok: true, text: files[path] ?? '' } : null)
  const door: Door = {
    process: {
      stdout: { isTTY: terminal, columns, write: (text) => void (out += text) },
      stderr: { isTTY: terminal, columns, write: (text) => void (err += text) },
      env,
      exitCode: undefined,
    },
    readText(path, most) {
      read.push(path)
      return given(path) ?? disk.readText(path, most)
    },
    readBeside(document, name, most) {
      read.push(`${document} > ${name}`)
      return given(name) ?? disk.readBeside(document, name, most)
    },
    writeText(path, text) {
      if (scene.unwritable) return { ok: false, why: 'there is no such folder' }
      written.set(path, text)
      return { ok: true }
    },
    writeBytes(path, content) {
      if (scene.unwritable) return { ok: false, why: 'there is no such folder' }
      bytes.set(path, content)
      return { ok: true }
    },
    threads: 0,
    onInterrupt(listener) {
      if (scene.interrupted) listener()
      return () => undefined
    },
    now: () => (clock += tickMs),
    today: () => '2025-01-01 12:00',
  }
  await main(args, door)
  return { out, err, code: door.process.exitCode, written, bytes, read }
}
