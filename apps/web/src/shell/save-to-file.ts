/** Documents to and from real files: through the browser's own file dialogs where it has them, by download and upload elsewhere. */
import type { DocumentText } from '../work/contract.ts'

interface FileHandle {
  readonly name: string
  getFile(): Promise<File>
  createWritable(): Promise<{ write(text: string): Promise<void>; close(): Promise<void> }>
}
interface FileDialogs {
  showSaveFilePicker?(options: object): Promise<FileHandle>
  showOpenFilePicker?(options: object): Promise<readonly FileHandle[]>
}

/** A character takes at most four bytes, and a longer document is refused by the reader anyway. */
export const MOST_BYTES = 4_000_000

/** "Tide in a jar" -> "tide-in-a-jar.yaml". */
export function fileName(title: string): string {
  const plain = title
    .normalize('NFKD')
    .replace(/[\u0300-\u036f]/g, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 60)
  return `${plain === '' ? 'demonstration' : plain}.yaml`
}

/** Hands a text to the browser's downloads. */
export function download(name: string, text: string, type = 'application/yaml'): void {
  const url = URL.createObjectURL(new Blob([text], { type }))
  const link = document.createElement('a')
  link.href = url
  link.download = name
  link.click()
  // The download holds its own reference once it has begun.
  setTimeout(() => URL.revokeObjectURL(url), 10_000)
}

/** The document and every file that stands beside it. */
export function downloadDocument(title: string, document: DocumentText): void {
  download(fileName(title), document.text)
  downloadBeside(document)
}

function downloadBeside(document: DocumentText): void {
  for (const [name, text] of Object.entries(document.beside)) download(name, text, 'text/plain')
}

/** Files of the demonstrations saved in this tab, so that saving again asks nothing, and when we wrote them last. */
const written = new Map<string, { readonly handle: FileHandle; readonly at: number }>()

export type Saved =
  | { readonly how: 'cancelled' }
  /** Into the file of this name, or to the downloads where the browser has no dialog for files. */
  | { readonly how: 'written' | 'downloaded'; readonly name: string }
  /** The browser let nobody write there: the document went to the downloads. */
  | { readonly how: 'refused'; readonly name: string }
  /** Something else has written into the file since: nothing was written. */
  | { readonly how: 'changed'; readonly name: string }

/**
 * Writes the document into a file the person chooses (once). A file that was changed meanwhile is left alone unless `over` says to write
 * over it.
 */
export async function saveToFile(key: string, title: string, document: DocumentText, over = false): Promise<Saved> {
  const dialogs = globalThis as unknown as FileDialogs
  if (!dialogs.showSaveFilePicker) {
    downloadDocument(title, document)
    return { how: 'downloaded', name: fileName(title) }
  }
  const before = written.get(key)
  let name = before?.handle.name ?? fileName(title)
  try {
    const handle =
      before?.handle ??
      (await dialogs.showSaveFilePicker({
        suggestedName: fileName(title),
        types: [{ description: 'Beakertide', accept: { 'application/yaml': ['.yaml', '.yml'] } }],
      }))
    name = handle.name
    if (before && !over && (await lastModified(handle)) !== before.at) return { how: 'changed', name }
    const writable = await handle.createWritable()
    await writable.write(document.text)
    await writable.close()
    // The dialog gives one file; what stands beside the document goes to the downloads, once: the page never changes it.
    if (!before) downloadBeside(document)
    written.set(key, { handle, at: await lastModified(handle) })
    return { how: 'written', name }
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') return { how: 'cancelled' }
    written.delete(key)
    downloadDocument(title, document)
    return { how: 'refused', name }
  }
}

export interface ChosenFiles {
  readonly files: readonly File[]
  /** Saving the demonstration under this key goes into the chosen file of this name from now on. */
  readonly remember: (key: string, name: string) => void
}

/** Files to open, chosen in the browser's own dialog; null when the person changed their mind, undefined where there is no such dialog. */
export async function chooseFiles(): Promise<ChosenFiles | null | undefined> {
  const dialogs = globalThis as unknown as FileDialogs
  if (!dialogs.showOpenFilePicker) return undefined
  try {
    const handles = await dialogs.showOpenFilePicker({ multiple: true })
    const files = await Promise.all(handles.map((handle) => handle.getFile()))
    return {
      files,
      remember: (key, name) => {
        const at = files.findIndex((file) => file.name === name)
        const [handle, file] = [handles[at], files[at]]
        // What was read from a file of another kind is saved beside it, not over it.
        if (handle && file && /\.ya?ml$/i.test(name)) written.set(key, { handle, at: file.lastModified })
      },
    }
  } catch (error) {
    return error instanceof DOMException && error.name === 'AbortError' ? null : undefined
  }
}

/** ms; NaN, which equals nothing, for a file that is gone. */
async function lastModified(handle: FileHandle): Promise<number> {
  try {
    return (await handle.getFile()).lastModified
  } catch {
    return Number.NaN
  }
}

export type ReadFiles =
  | { readonly ok: true; readonly document: DocumentText; readonly name: string }
  | { readonly ok: false; readonly why: 'too large' | 'no document' | 'several documents' | 'unreadable'; readonly name: string }

/** One demonstration and the files beside it, as chosen together or dropped on the page. */
export async function readFiles(files: readonly File[]): Promise<ReadFiles> {
  const texts: { readonly name: string; readonly text: string }[] = []
  for (const file of files) {
    if (file.size > MOST_BYTES) return { ok: false, why: 'too large', name: file.name }
    try {
      texts.push({ name: file.name, text: await file.text() })
    } catch {
      return { ok: false, why: 'unreadable', name: file.name }
    }
  }
  const first = texts[0]
  if (first === undefined) return { ok: false, why: 'no document', name: '' }
  const isDocument = (text: string): boolean =>
    /^[\ufeff]?(?:\s*#.*\n|\s*\n)*\s*beakertide:/.test(text.slice(0, 5000)) || /^beakertide:/m.test(text)
  const documents = texts.length === 1 ? [first] : texts.filter(({ text }) => isDocument(text))
  if (documents.length > 1) return { ok: false, why: 'several documents', name: documents.map((d) => d.name).join(', ') }
  const [document] = documents
  if (document === undefined) return { ok: false, why: 'no document', name: first.name }
  const beside = Object.fromEntries(texts.filter((file) => file !== document).map(({ name, text }) => [name, text]))
  return { ok: true, document: { text: document.text, beside }, name: document.name }
}
