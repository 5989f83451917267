/** What the shelf, the make-up and found recipes are told. Plain functions over the house; tested in Node. */
import { done, type Outcome, refuse } from '@beakertide/basis/problems'
import { celsiusToKelvin, formatQuantity } from '@beakertide/basis/units'
import { type CautionScene, cautionsFor, labelOf } from '@beakertide/core/cautions'
import {
  type Bottle,
  type BottleContent,
  bottleContent,
  electronsInAssay,
  perishing,
  scaleRecipe,
  volumesFromPeroxide,
} from '@beakertide/core/makeup'
import { compoundNamed, hydrateWord, splitHydrateName, type Substance, writeFormula } from '@beakertide/core/matter'
import { isFedBy } from '@beakertide/core/mechanism'
import { dangerLines } from '@beakertide/core/papers'
import { compareFound, fitShelf, parseBottles, readFoundText, type ShelfBottle } from '@beakertide/demonstration'
import type { Edit } from '../../desk/desk.ts'
import type {
  BottleLook,
  BottleToLookAt,
  DocumentFit,
  ScaledRecipe,
  ShelfLook,
  ShelfStock,
  ShelfWork,
  SubstanceChoice,
} from '../shelf-contract.ts'
import type { House } from './house.ts'

type Plain<Calls> = {
  readonly [Name in keyof Calls]: Calls[Name] extends (...given: infer Given) => Promise<infer Result> ? (...given: Given) => Result : never
}

/** Tools an assay is read with when no document says others. */
const TOOLS = { balanceReadabilityG: 0.01, glassClass: 'B' } as const

export function shelfCalls(house: House): Plain<ShelfWork> {
  const { day } = house.facts
  return {
    substances: () => substanceChoices(day.matter.substances),
    lookAtBottles: (bottles, celsius) => shelfLook(bottles, celsius, house),
    fitShelf: (documents, shelf) => {
      const stock = stockOf(shelf)
      return documents.map(({ key, document }): DocumentFit => {
        const opened = house.opened(document)
        return { key, fit: opened.ok ? fitShelf(opened.value.demonstration, stock, day) : null }
      })
    },
    compareFound: (document) => {
      const opened = house.opened(document)
      return opened.ok ? compareFound(opened.value.demonstration, day) : opened
    },
    scale: (document, wish) => {
      const opened = house.opened(document)
      return opened.ok ? scaledEdits(opened.value.demonstration, wish) : opened
    },
    readFound: (text) => readFoundText(text, day.matter),
    fedBy: (substances) => {
      const species = substances.flatMap((name) => compoundNamed(name, day.matter)?.entersWater.map((e) => e.species) ?? [])
      return house.mechanisms().flatMap(({ name, mechanism }) => (mechanism && isFedBy(mechanism, species) ? [name] : []))
    },
  }
}

const isLiquid = (s: Substance): boolean => s.soldAs === 'aqueous' || /liquid|syrup/.test(s.form)

function substanceChoices(substances: readonly Substance[]): readonly SubstanceChoice[] {
  const families = new Map<string, Substance[]>()
  for (const s of substances) families.set(s.family, [...(families.get(s.family) ?? []), s])
  return [...families].map(([id, members]) => {
    const first = [...members].sort((a, b) => a.waters - b.waters)[0]!
    return {
      id,
      name: members.length > 1 ? splitHydrateName(first.name.replace(' (anhydrous)', '')).compound : first.name,
      formula: writeFormula(first.formula.split('·')[0]!, 'unicode'),
      otherNames: [...new Set(members.flatMap((m) => m.otherNames))],
      hydrates: members.length > 1 ? members.map((m) => hydrateWord(m.waters)) : [],
      isLiquid: members.some(isLiquid),
      grades: first.grades,
    }
  })
}

interface Read {
  readonly id: string
  readonly outcome: Outcome<{ readonly bottle: Bottle; readonly content: BottleContent }>
}

function read({ id, written }: BottleToLookAt, celsius: number, house: House): Read {
  const { day } = house.facts
  // The name on the shelf is free; the reader of documents wants a plain one.
  const parsed = parseBottles(JSON.stringify({ bottle: written }), 'shelf')
  if (!parsed.ok) return { id, outcome: parsed }
  const bottle = parsed.value[0]
  if (!bottle)
    return {
      id,
      outcome: refuse({ code: 'work/no-bottle', where: 'bottle', what: 'nothing is written of this bottle', todo: 'name its substance' }),
    }
  const content = bottleContent(bottle, celsius, TOOLS, day)
  return {
    id,
    outcome: content.ok ? done({ bottle: { ...bottle, id }, content: content.value }, [...parsed.warnings, ...content.warnings]) : content,
  }
}

function shelfLook(bottles: readonly BottleToLookAt[], celsius: number, house: House): ShelfLook {
  const all = bottles.map((b) => read(b, celsius, house))
  const { hazards } = house.facts.day
  const understood = all.flatMap(({ id, outcome }) => (outcome.ok ? [{ id, content: outcome.value.content }] : []))
  const scene: CautionScene = {
    bottles: understood.map(({ id, content }) => ({
      id,
      substance: content.substance,
      massFraction: content.massFraction.value,
      molPerL: content.molPerL?.value ?? null,
      solid: content.state === 'solid',
    })),
    solutions: [],
    vessels: [],
    room: { temperatureK: celsiusToKelvin(celsius), volumeM3: null },
    controls: {},
  }
  const cautions = cautionsFor(scene, hazards)
  const list = cautions.ok ? cautions.value.list : []
  return {
    bottles: all.map((one) => lookOf(one, list, house)),
    danger: dangerLines(list),
  }
}

/** The statements within a caution's sentence; what stands in a bottle is labelled by them. */
const STATEMENT = /\b(?:EUH|H)\d{3}[A-Za-z]*/g

function lookOf(
  { id, outcome }: Read,
  cautions: readonly {
    readonly code: string
    readonly about: string
    readonly what: string
    readonly label?: { readonly signalWord: string; readonly pictograms: readonly string[] }
  }[],
  house: House,
): BottleLook {
  if (!outcome.ok) return { id, problems: outcome.problems, warnings: [], content: null, label: null }
  const { content } = outcome.value
  const { substance } = content
  const M = substance.molarMassGPerMol
  const perL = content.molPerL
  const isPeroxide = substance.entersWater.some((e) => e.species === 'H2O2')
  const own = cautions.filter((c) => c.about.includes(`"${id}"`) && /hazard/.test(c.code))
  const codes = [...new Set(own.flatMap((c) => c.what.match(STATEMENT) ?? []))]
  const label = labelFor(codes, house)
  const perish = perishing(substance, content.state)
  return {
    id,
    problems: [],
    warnings: outcome.warnings,
    content: {
      name: substance.name,
      formula: writeFormula(substance.formula, 'unicode'),
      family: substance.family,
      molarMassGPerMol: M,
      state: content.state,
      massFraction: content.massFraction,
      molPerL: perL,
      gPerL: perL && { value: perL.value * M, u: perL.u * M },
      volumes: perL && isPeroxide ? { value: volumesFromPeroxide(perL.value), u: volumesFromPeroxide(perL.u) } : null,
      densityGPerMl: content.density,
      densityFrom: content.densityFrom,
      assayed: content.assayed,
      budget: content.budget,
      perishes: perish && { why: perish.why, assay: perish.assay, doubt: perish.doubt },
      assays: [
        ...(electronsInAssay(substance, 'permanganate') > 0 ? (['permanganate'] as const) : []),
        ...(electronsInAssay(substance, 'iodometric') > 0 ? (['iodometric'] as const) : []),
        ...(isPeroxide ? (['oxygen volume'] as const) : []),
      ],
      source: substance.source,
    },
    label,
  }
}

function labelFor(codes: readonly string[], house: House): BottleLook['label'] {
  if (codes.length === 0) return null
  const { hazards } = house.facts.day
  const elements = labelOf(codes)
  return {
    signalWord: elements.signalWord === 'none' ? '' : elements.signalWord,
    pictograms: elements.pictograms,
    statements: codes.map((code) => ({ code, text: hazards.codes[code] ?? '' })),
  }
}

function stockOf(shelf: readonly ShelfStock[]): readonly ShelfBottle[] {
  return shelf.flatMap(({ id, written, left }) => {
    const parsed = parseBottles(JSON.stringify({ bottle: written }), 'shelf')
    const bottle = parsed.ok ? parsed.value[0] : undefined
    return bottle ? [{ bottle: { ...bottle, id }, left }] : []
  })
}

type Scaled = Parameters<Plain<ShelfWork>['scale']>[1]
/** Digits of a scaled amount in a document. */
const DIGITS = 5
const litres = (volumeL: number): string => tidy(formatQuantity(volumeL, 'volume', DIGITS))
/** "0.25 L" for "0.25000 L". */
const tidy = (text: string): string => text.replace(/(\.\d*?)0+(?= |$)/, (_, part: string) => (part === '.' ? '' : part))

/** The scaled recipe as changes of the document: strengths stay, volumes and batch amounts grow. */
function scaledEdits(d: Parameters<typeof fitShelf>[0], wish: Scaled): Outcome<ScaledRecipe> {
  const scaled = scaleRecipe(d.solutions, d.vessels, wish)
  if (!scaled.ok) return scaled
  const edits: Edit[] = []
  scaled.value.solutions.forEach((s, i) => {
    const before = d.solutions[i]!
    const factor = scaled.value.factors[s.id] ?? 1
    if (Math.abs(factor - 1) < 1e-9) return
    edits.push({ path: ['solutions', s.id, 'make'], value: tidy(s.volume.text) })
    before.ingredients.forEach((ingredient, j) => {
      const { state } = ingredient.target
      const path = ['solutions', s.id, 'with', ingredient.bottle]
      if (state === 'mass' || state === 'volume') edits.push({ path, value: tidy(s.ingredients[j]!.target.quantity.text) })
      // What was weighed belonged to the old batch.
      else if (ingredient.weighed)
        edits.push({ path: [...path, ingredient.weighed.kind === 'volume' ? 'measured' : 'weighed'], value: undefined })
    })
  })
  scaled.value.vessels.forEach((v, i) => {
    const before = d.vessels[i]!
    if (v.count !== before.count) edits.push({ path: ['vessels', v.id, 'count'], value: v.count })
    v.pours.forEach((p, j) => {
      if (Math.abs(p.volumeL / before.pours[j]!.volumeL - 1) > 1e-9)
        edits.push({ path: ['vessels', v.id, 'pours', j, 'volume'], value: litres(p.volumeL) })
    })
  })
  return done({
    edits,
    solutions: scaled.value.solutions.map((s, i) => ({ id: s.id, beforeL: d.solutions[i]!.volume.value, afterL: s.volume.value })),
  })
}
