/** Faults of ours become problems: a page that asks always gets an answer. */
import type { Problem } from '@beakertide/basis/problems'

/** What a page is told when the program itself is wrong. */
export function faultOf(error: unknown): Problem {
  return {
    code: 'work/fault',
    where: 'Beakertide itself',
    what: `it could not finish: ${error instanceof Error ? error.message : String(error)}`,
    todo: 'nothing of yours is lost; save the document and report this with it',
  }
}

type AnyCall = (...given: never[]) => unknown

/** The same calls; what throws answers with a problem. */
export function answering<Calls extends Readonly<Record<string, AnyCall>>>(calls: Calls): Calls {
  const safe = Object.entries(calls).map(([name, call]): [string, AnyCall] => [
    name,
    async (...given) => {
      try {
        return await call(...given)
      } catch (error) {
        const problems = [faultOf(error)]
        return name === 'open' ? { demonstration: null, prepared: null, danger: [], problems, warnings: [] } : { ok: false, problems }
      }
    },
  ])
  return Object.fromEntries(safe) as Calls
}

/** The call of this name with what came over the line; its types were checked where it was asked. */
export function callByName(calls: Readonly<Record<string, AnyCall>>, name: string, given: readonly unknown[]): unknown {
  const call = Object.hasOwn(calls, name) ? calls[name] : undefined
  return call === undefined
    ? { ok: false, problems: [faultOf(new Error(`nothing is called "${name.slice(0, 40)}"`))] }
    : call(...(given as never[]))
}
