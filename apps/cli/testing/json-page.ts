/** docs/json.md as data, and the comparison of a JSON answer with it, in both directions. */
import { readFileSync } from 'node:fs'

interface Field {
  /** "turns[].timeS" as parts, `[]` for "each of". */
  readonly parts: readonly string[]
  readonly optional: ReadonlySet<number>
  readonly kind: string
}
/** Heading ("`check`", "range") -> its fields. */
export type JsonPage = ReadonlyMap<string, readonly Field[]>

/** "budget[]?.what" -> budget, [], what with the first part optional. */
function fieldOf(path: string, kind: string): Field {
  const parts: string[] = []
  const optional = new Set<number>()
  for (const piece of path.split('.')) {
    const [, name = '', each = '', maybe = ''] = /^([^[\]?]+)(\[\])?(\?)?$/.exec(piece) ?? []
    if (maybe !== '') optional.add(parts.length)
    parts.push(name)
    if (each !== '') parts.push('[]')
  }
  return { parts, optional, kind }
}

export function readJsonPage(): JsonPage {
  const page = new Map<string, Field[]>()
  let at: Field[] = []
  for (const line of readFileSync(new URL('../../../docs/json.md', import.meta.url), 'utf8').split('\n')) {
    const heading = /^##+ (.*)$/.exec(line)?.[1]
    if (heading !== undefined) page.set(heading.replaceAll('`', ''), (at = []))
    const row = /^\|\s*`([^`]+)`\s*\|([^|]*)\|/.exec(line)
    if (row) at.push(fieldOf(row[1] ?? '', (row[2] ?? '').trim()))
  }
  return page
}

const shapeIn = (kind: string): string | undefined => /^\[([^\]]+)\]\(#/.exec(kind)?.[1]
const isRecord = (v: unknown): v is Record<string, unknown> => typeof v === 'object' && v !== null && !Array.isArray(v)

/** What the page says and the value does not hold, and what the value holds and the page does not say. */
export function differences(value: unknown, fields: readonly Field[], page: JsonPage, at = ''): readonly string[] {
  const found: string[] = []
  const follow = (v: unknown, field: Field, depth: number, path: string): void => {
    const part = field.parts[depth]
    if (part === undefined) {
      const shape = shapeIn(field.kind)
      if (v === null) {
        if (!field.kind.includes('null')) found.push(`${path} is null`)
      } else if (shape !== undefined) found.push(...differences(v, page.get(shape) ?? [], page, path))
      else if (isRecord(v) && !field.kind.startsWith('map')) found.push(`${path} is an object, said to be ${field.kind}`)
      return
    }
    if (part === '[]') {
      if (!Array.isArray(v)) found.push(`${path} is no list`)
      else v.forEach((x) => follow(x, field, depth + 1, `${path}[]`))
      return
    }
    if (!isRecord(v)) found.push(`${path} is no object`)
    else if (Object.hasOwn(v, part)) follow(v[part], field, depth + 1, `${path}.${part}`)
    else if (!field.optional.has(depth)) found.push(`${path}.${part} is missing`)
  }
  for (const field of fields) follow(value, field, 0, at)

  /** Keys at every place that the fields name. */
  const walk = (v: unknown, prefix: readonly string[], path: string): void => {
    const here = fields.filter((f) => prefix.every((p, i) => f.parts[i] === p))
    if (here.some((f) => f.parts.length === prefix.length)) return
    if (Array.isArray(v)) v.forEach((x) => walk(x, [...prefix, '[]'], `${path}[]`))
    else if (isRecord(v)) {
      for (const [key, x] of Object.entries(v)) {
        if (here.some((f) => f.parts[prefix.length] === key)) walk(x, [...prefix, key], `${path}.${key}`)
        else found.push(`${path}.${key} is not on the page`)
      }
    }
  }
  walk(value, [], at)
  return [...new Set(found)]
}
