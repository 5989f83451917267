/** What a command may touch of the world outside: files, streams, clock. Commands get it as their context, tests give their own. */
import { readFileSync, realpathSync, statSync, writeFileSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import { basename, dirname, join } from 'node:path'

export type Read = { readonly ok: true; readonly text: string } | { readonly ok: false; readonly why: string }
export type Written = { readonly ok: true } | { readonly ok: false; readonly why: string }

export interface Door {
  readonly process: {
    readonly stdout: { write(text: string): unknown; readonly isTTY?: boolean; readonly columns?: number }
    readonly stderr: { write(text: string): unknown; readonly isTTY?: boolean; readonly columns?: number }
    readonly env?: Readonly<Partial<Record<string, string>>>
    exitCode?: number | string | null | undefined
  }
  /** Text of a file, or why it cannot be read. */
  readText(path: string, mostBytes: number): Read
  /** Text of the file of this bare name in the folder of `document`; a link that leads out of that folder is not followed. */
  readBeside(document: string, name: string, mostBytes: number): Read
  writeText(path: string, text: string): Written
  writeBytes(path: string, bytes: Uint8Array): Written
  /** Threads that long work may use when it is not told; 0: none besides this one. */
  readonly threads: number
  /** Calls `listener` at the first interruption (Ctrl-C) from now on; the function that comes back takes it away. */
  onInterrupt(listener: () => void): () => void
  /** Milliseconds, for measuring. */
  now(): number
  /** Date and time for the foot of a sheet. */
  today(): string
}

const FILE_FAULTS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  ENOTDIR: 'there is no such file',
  EACCES: 'this user may not read or write it',
  EPERM: 'this user may not read or write it',
  EISDIR: 'it is a folder',
  EROFS: 'this disk cannot be written to',
  ENOSPC: 'the disk is full',
  ENAMETOOLONG: 'the name is too long',
  ELOOP: 'its links lead in a circle',
}

function fileFault(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : ''
  return FILE_FAULTS[code] ?? `the system says ${code || 'no more'}`
}

const megabytes = (bytes: number): string => `${(bytes / 1e6).toFixed(1)} MB`

function readText(path: string, mostBytes: number): Read {
  try {
    const facts = statSync(path)
    if (facts.isDirectory()) return { ok: false, why: 'it is a folder' }
    if (!facts.isFile()) return { ok: false, why: 'it is not a file' }
    if (facts.size > mostBytes) return { ok: false, why: `it has ${megabytes(facts.size)}; at most ${megabytes(mostBytes)} are read` }
    return { ok: true, text: readFileSync(path, 'utf8') }
  } catch (error) {
    return { ok: false, why: fileFault(error) }
  }
}

function write(path: string, content: string | Uint8Array): Written {
  try {
    writeFileSync(path, content)
    return { ok: true }
  } catch (error) {
    const why = fileFault(error)
    return { ok: false, why: why === 'there is no such file' ? 'there is no such folder' : why }
  }
}

const two = (n: number): string => String(n).padStart(2, '0')

/** The real door of this process. */
export function realDoor(): Door {
  return {
    process,
    readText,
    readBeside(document, name, mostBytes) {
      const path = join(dirname(document), basename(name))
      try {
        if (dirname(realpathSync(path)) !== realpathSync(dirname(document))) {
          return { ok: false, why: 'it is a link to a file in another place, and only files beside the document are read' }
        }
      } catch (error) {
        return { ok: false, why: fileFault(error) }
      }
      return readText(path, mostBytes)
    },
    writeText: write,
    writeBytes: write,
    threads: availableParallelism(),
    onInterrupt(listener) {
      process.once('SIGINT', listener)
      return () => void process.removeListener('SIGINT', listener)
    },
    now: () => performance.now(),
    today() {
      const d = new Date()
      return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())} ${two(d.getHours())}:${two(d.getMinutes())}`
    },
  }
}
