/** German names in recipes: the compound as the tables call it, and what the name says about water. Inflection and old spellings are seen through. */
import { nearest } from '@beakertide/basis/problems'
import { hydrateWord, type MatterFacts, splitHydrateName } from '@beakertide/core/matter'

/** "Iodat" and "Jodat", "Zitronen-" and "Citronen-", "Kalium-Iodid": one spelling, letters and digits only. */
function loosely(text: string): string {
  return text
    .toLowerCase()
    .replaceAll('ä', 'ae')
    .replaceAll('ö', 'oe')
    .replaceAll('ü', 'ue')
    .replaceAll('ß', 'ss')
    .replace(/[^a-z0-9]/g, '')
    .replace(/jod/g, 'iod')
    .replace(/zitr/g, 'citr')
    .replace(/kobalt/g, 'cobalt')
    .replace(/kalzium/g, 'calcium')
    .replace(/sulph/g, 'sulf')
    .replace(/oxyd/g, 'oxid')
    .replace(/aethanol/g, 'ethanol')
    .replace(/karbon/g, 'carbon')
}

const byTable = new WeakMap<MatterFacts['substances'], ReadonlyMap<string, string>>()

/** German name, loosely -> the compound's name in the tables. */
function germanNames(matter: MatterFacts): ReadonlyMap<string, string> {
  const known = byTable.get(matter.substances)
  if (known) return known
  const made = new Map<string, string>()
  for (const s of matter.substances) {
    const compound = splitHydrateName(s.name.replace(/ \(anhydrous\)$/, '')).compound
    for (const name of s.germanNames ?? []) if (!made.has(loosely(name))) made.set(loosely(name), compound)
  }
  byTable.set(matter.substances, made)
  return made
}

const COUNTS: Readonly<Record<string, number>> = {
  mono: 1,
  di: 2,
  tri: 3,
  tetra: 4,
  penta: 5,
  hexa: 6,
  hepta: 7,
  octa: 8,
  nona: 9,
  deca: 10,
  dodeca: 12,
}
const HYDRATE = /[\s-]*(dodeca|mono|di|tri|tetra|penta|hexa|hepta|octa|nona|deca)hydrats?$/i
const DRY = /\bwasserfrei\w*|\(\s*wasserfrei\s*\)/i
/** What a name may be called besides: form and purity, which the amounts do not depend on. */
const BESIDE =
  /\b(?:lösliche[rsnm]?|reine[rsnm]?|feste[rsnm]?|technische[rsnm]?|krist(?:allisierte[rsnm]?|\.)|gepulverte[rsnm]?|festes)\b/gi
/** "Kaliumiodids", "der Malonsäure", "Kaliumiodat-Lösung". */
const ENDINGS = [/$/, /s$/, /es$/, /n$/, /-?lösung$/i, /-?pulver$/i, /-?kristalle?n?$/i]

/** The name as the tables have it ("manganese(II) sulfate monohydrate"), or null where it is no German name that is known. */
export function fromGerman(text: string, matter: MatterFacts): string | null {
  const names = germanNames(matter)
  const hydrate = HYDRATE.exec(text.trim())?.[1]?.toLowerCase()
  const isDry = DRY.test(text)
  const bare = text.trim().replace(HYDRATE, '').replace(DRY, ' ').replace(BESIDE, ' ').replace(/\s+/g, ' ').trim()
  // A salt's own name comes first, so that "Lösung" is taken off only where it is not part of it.
  for (const ending of ENDINGS) {
    const found = names.get(loosely(bare.replace(ending, '')))
    if (found === undefined) continue
    if (hydrate !== undefined) return `${found} ${hydrateWord(COUNTS[hydrate] ?? 1)}`
    return isDry ? `${found} anhydrous` : found
  }
  return null
}

/** Trade names that stand for something denatured or for several substances: never taken, only offered. */
const OFFERED: Readonly<Record<string, readonly string[]>> = {
  spiritus: ['ethanol'],
  brennspiritus: ['ethanol'],
  kalk: ['calcium carbonate', 'calcium hydroxide'],
}

/** Names of the tables whose German name is near, or that a trade name may stand for; empty when none is. */
export function nearGerman(text: string, matter: MatterFacts): readonly string[] {
  const spelled = loosely(text)
  if (Object.hasOwn(OFFERED, spelled)) return OFFERED[spelled] ?? []
  const names = germanNames(matter)
  return nearest(spelled, [...names.keys()]).flatMap((name) => names.get(name) ?? [])
}
