/** The shipped examples: their heads come with the bench, each text when it is opened. */
import type { DocumentText } from '../../work/contract.ts'
import type { ExampleHead } from './example-head.ts'
import made from '../../../generated/examples.json?raw'

export type { ExampleHead }

export const exampleHeads = (JSON.parse(made) as { readonly heads: readonly ExampleHead[] }).heads

const texts = import.meta.glob(
  ['../../../../../examples/right/*.yaml', '../../../../../examples/right/*.yml', '../../../../../examples/right/*.xml'],
  {
    query: '?raw',
    import: 'default',
  },
) as Readonly<Record<string, () => Promise<string>>>

async function fileText(file: string): Promise<string | null> {
  const load = Object.entries(texts).find(([path]) => path.endsWith(`/${file}`))?.[1]
  return load ? await load() : null
}

/** An example with the files beside it; null when there is none of this name. */
export async function exampleDocument(name: string): Promise<DocumentText | null> {
  const text = await fileText(`${name}.yaml`)
  if (text === null) return null
  const beside: Record<string, string> = {}
  for (const file of exampleHeads.find((head) => head.name === name)?.beside ?? []) {
    const found = await fileText(file)
    if (found !== null) beside[file] = found
  }
  return { text, beside }
}

/** Key of an example on the desk: opening it twice is opening the same one. */
export const exampleKey = (name: string): string => `example-${name}`
/** Name of the example that a key stands for; null: it stands for none. */
export function exampleOfKey(key: string): string | null {
  const name = key.startsWith('example-') ? key.slice('example-'.length) : null
  return name !== null && exampleHeads.some((head) => head.name === name) ? name : null
}
