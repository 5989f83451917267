/** Laws of the treatment over random leftovers, and the chemistry that it chooses by the pH. */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import type { Case } from './leftovers.ts'
import { chargeOf, type Masters, toMasters, withHalomalonates } from './liquid.ts'
import { combine } from './half-reactions.ts'
import { react, reactByItself, wayOf } from './reacting.ts'
import { REDUCTANTS, oxidantEquivalents } from './reduction.ts'
import { type Stage, treat, type Treated, type TreatRequest } from './treat.ts'

const clearing = facts.clearing()
const species = facts.matter().species
const equilibria = withHalomalonates(facts.equilibria())
const world = { clearing, equilibria: facts.equilibria(), enthalpyOf: null, temperatureK: 293.15 }
const reacting = { clearing, equilibria, enthalpyOf: null }

function caseFrom(amounts: Masters, volumeL = 1): Case {
  return { name: 'case', amounts, volumeL, capacityKJPerK: 4.18 * volumeL }
}
function request(of: Case, id: string, more: Partial<TreatRequest> = {}): TreatRequest {
  const reductant = REDUCTANTS.find((r) => r.id === id) ?? null
  return {
    case: of,
    reductant,
    reductantMolPerL: 1,
    bound: 'usual',
    dilution: 2,
    firstPH: reductant?.family === 'ascorbic' ? null : 4.5,
    neutralPH: 8,
    alkaliToPH: 7.5,
    neutralWithin: 1e-3,
    metalPH: 9.25,
    lye: false,
    backPH: 7.5,
    ...more,
  }
}

/** Atoms by the species list; the anions of halomalonic acids, which it does not hold, from their acids; trithionate by its formula. */
const MORE: Record<string, Record<string, number>> = {
  'IMA^2-': { C: 3, H: 1, I: 1, O: 4 },
  'I2MA^2-': { C: 3, I: 2, O: 4 },
  'BrMA^2-': { C: 3, H: 1, Br: 1, O: 4 },
  'S3O6^2-': { S: 3, O: 6 },
}
/** Every element but hydrogen and oxygen, which also come and go as water; with them only what water cannot balance: H less 2 O. */
function books(masters: Masters): Record<string, number> {
  const out: Record<string, number> = { charge: 0, 'H - 2 O': 0 }
  for (const [id, n] of Object.entries(masters)) {
    const composition = species[id]?.composition ?? MORE[id]
    if (!composition) throw new Error(`${id} has no composition`)
    out['charge'] = (out['charge'] ?? 0) + n * chargeOf(id, equilibria)
    for (const [e, k] of Object.entries(composition)) {
      if (e === 'H') out['H - 2 O'] = (out['H - 2 O'] ?? 0) + n * k
      else if (e === 'O') out['H - 2 O'] = (out['H - 2 O'] ?? 0) - 2 * n * k
      else out[e] = (out[e] ?? 0) + n * k
    }
  }
  return out
}
function difference(a: Record<string, number>, b: Record<string, number>): number {
  return Math.max(...[...new Set([...Object.keys(a), ...Object.keys(b)])].map((k) => Math.abs((a[k] ?? 0) - (b[k] ?? 0))))
}
function broughtIn(s: Stage): Record<string, number> {
  const out: Record<string, number> = {}
  for (const { reagent, amountMol } of s.additions)
    for (const [id, n] of Object.entries(reagent.brings)) out[id] = (out[id] ?? 0) + n * amountMol
  return out
}
function sum(...parts: readonly Masters[]): Record<string, number> {
  const out: Record<string, number> = {}
  for (const part of parts) for (const [id, n] of Object.entries(part)) out[id] = (out[id] ?? 0) + n
  return out
}

const leftovers = fc.dictionary(
  fc.constantFrom(
    'IO3-',
    'I2',
    'I3-',
    'H2O2',
    'BrO3-',
    'Br2',
    'MnO4-',
    'Ce4+',
    'S2O8^2-',
    'HSO3-',
    'S2O3^2-',
    'H2C2O4',
    'H+',
    'MA',
    'IMA',
    'I-',
    'SO4^2-',
    'Mn2+',
    'Cu2+',
    'NH4+',
  ),
  fc.double({ min: 1e-6, max: 0.4, noNaN: true }),
  { maxKeys: 7 },
)
const ids = fc.constantFrom('bisulfite', 'sulfite', 'ascorbic', 'thiosulfate')
const settings = { seed: 4711, numRuns: 40 }

describe('laws of every step', () => {
  it('elements, charge and electrons: before + added = after + gas + what is taken out', () => {
    fc.assert(
      fc.property(leftovers, ids, (amounts, id) => {
        const t = treat(request(caseFrom(amounts), id), world)
        for (const s of t.stages) {
          const left = books(sum(toMasters(s.before, equilibria), toMasters(broughtIn(s), equilibria)))
          const right = books(sum(s.after, toMasters(s.gasMol, equilibria), toMasters(s.takenOutMol, equilibria)))
          expect(difference(left, right), s.name).toBeLessThan(1e-8)
          // Electrons: the oxidants lose exactly what the reductants give, in every equation.
          for (const r of s.reactions) {
            const e = combine(r.oxidant, r.reductant)
            expect(e.text).toBe(r.equation.text)
            const taken =
              (e.reactants[r.oxidant.species] ?? 0) * (r.oxidant.electrons / (r.oxidant.equation.reactants[r.oxidant.species] ?? 1))
            const given =
              (e.reactants[r.reductant.species] ?? 0) * (r.reductant.electrons / (r.reductant.equation.reactants[r.reductant.species] ?? 1))
            expect(taken).toBeCloseTo(given, 9)
          }
        }
        for (const [i, s] of t.stages.entries()) if (i > 0) expect(s.before).toBe(t.stages[i - 1]!.after)
      }),
      settings,
    )
  })
  it('what is left of oxidant is what it says is not met, and no more', () => {
    fc.assert(
      fc.property(leftovers, ids, (amounts, id) => {
        const t = treat(request(caseFrom(amounts), id), world)
        const said = Object.keys(t.unmet)
        const rest = Object.fromEntries(Object.entries(t.final).filter(([s]) => !said.includes(s)))
        const before = oxidantEquivalents(toMasters(amounts, equilibria), clearing)
        expect(oxidantEquivalents(rest, clearing)).toBeLessThanOrEqual(1e-9 * Math.max(1, before))
      }),
      settings,
    )
  })
  it('twice the batch: twice the amounts, the same pH and the same temperatures', () => {
    fc.assert(
      fc.property(leftovers, ids, (amounts, id) => {
        const one = treat(request(caseFrom(amounts), id), world)
        const two = treat(request(caseFrom(Object.fromEntries(Object.entries(amounts).map(([s, n]) => [s, 2 * n])), 2), id), world)
        expect(two.stages.map((s) => s.name)).toEqual(one.stages.map((s) => s.name))
        expect(two.doseMol).toBeCloseTo(2 * one.doseMol, 7)
        for (const [i, s] of one.stages.entries()) {
          expect(two.stages[i]!.volumeL).toBeCloseTo(2 * s.volumeL, 6)
          expect(two.stages[i]!.riseK).toBeCloseTo(s.riseK, 4)
          if (s.pHAfter !== null) expect(two.stages[i]!.pHAfter).toBeCloseTo(s.pHAfter, 4)
        }
      }),
      settings,
    )
  })
  it('no acid ever meets sulfite or thiosulfate: nothing that still holds them is brought under pH 4', () => {
    fc.assert(
      fc.property(leftovers, ids, (amounts, id) => {
        const t = treat(request(caseFrom(amounts), id), world)
        for (const s of t.stages) {
          const acid = s.additions.some((a) => a.reagent.formula === 'C6H8O7')
          const sulfur = (s.before['SO3^2-'] ?? 0) + (s.before['S2O3^2-'] ?? 0)
          if (acid && sulfur > 1e-6 && s.pHAfter !== null) expect(s.pHAfter).toBeGreaterThan(4)
        }
      }),
      settings,
    )
  })
})

describe('the way follows from the pH', () => {
  it('thiosulfate: iodine to tetrathionate; iodate in acid only; peroxide by tetrathionate, trithionate or sulfate', () => {
    const first = (oxidant: string, pH: number) => wayOf(oxidant, 'thiosulfate', pH, clearing)?.halves[0]
    expect(first('I2', 5)).toBe('tetrathionate')
    expect(wayOf('I2', 'thiosulfate', 10, clearing)?.halves).toEqual(['tetrathionate', 'sulfate'])
    expect(wayOf('IO3-', 'thiosulfate', 2, clearing)?.pace).toBe('seconds')
    expect(wayOf('IO3-', 'thiosulfate', 4.5, clearing)?.pace).toBe('none')
    expect([first('H2O2', 4.5), first('H2O2', 7), first('H2O2', 9)]).toEqual(['tetrathionate', 'trithionate', 'sulfate'])
  })
  it('thiosulfate on unbuffered peroxide: it starts as tetrathionate, the pH rises, and most goes the neutral way', () => {
    const t = treat(request(caseFrom({ H2O2: 0.2, 'H+': 0.01, 'SO4^2-': 0.005 }), 'thiosulfate', { metalPH: null, dilution: 1 }), world)
    const reduce = t.stages.find((s) => s.name === 'reduce')!
    const texts = reduce.reactions.map((r) => r.equation.text)
    expect(texts.some((e) => e.includes('S4O6^2-'))).toBe(true)
    expect(texts.some((e) => e.includes('S3O6^2-'))).toBe(true)
    expect(reduce.pHAfter!).toBeGreaterThan(reduce.pHBefore!)
    // Between half a mole (neutral) and two moles (acid) a mole of peroxide
    expect(t.doseMol).toBeGreaterThan(0.1)
    expect(t.doseMol).toBeLessThan(0.4)
  })
  it('sulfite that is left takes iodate: 3 to 1, and what is over stays', () => {
    const own = reactByItself(toMasters({ 'IO3-': 0.01, 'HSO3-': 0.02 }, equilibria), 5, reacting)
    expect(own.masters['IO3-']).toBeCloseTo(0.01 - 0.02 / 3, 12)
    expect(own.masters['SO3^2-'] ?? 0).toBeCloseTo(0, 12)
    expect(own.masters['SO4^2-']).toBeCloseTo(0.02, 12)
  })
  it('oxalic acid takes permanganate in acid and not near neutral', () => {
    const there = toMasters({ 'MnO4-': 0.002, H2C2O4: 0.01 }, equilibria)
    expect(react(there, 'oxalate', 1, 'usual', 'what is there', reacting).masters['MnO4-']).toBe(0)
    expect(react(there, 'oxalate', 7, 'usual', 'what is there', reacting).masters['MnO4-']).toBe(0.002)
  })
})

describe('what a bench would see', () => {
  const oscillator = { 'IO3-': 0.02, I2: 0.004, H2O2: 0.4, MA: 0.01, IMA: 0.04, 'Mn2+': 0.0067, 'H+': 0.0834, 'SO4^2-': 0.0534, 'K+': 0.01 }
  const stage = (t: Treated, name: Stage['name']): Stage => t.stages.find((s) => s.name === name)!
  it('hydrogensulfite at held pH: acid made is taken by hydrogencarbonate, carbon dioxide leaves, manganese falls', () => {
    const t = treat(request(caseFrom(oscillator), 'bisulfite', { dilution: 2.67 }), world)
    expect(stage(t, 'first pH').pHAfter!).toBeGreaterThan(4)
    expect(stage(t, 'first pH').pHAfter!).toBeLessThan(5)
    const reduce = stage(t, 'reduce')
    expect(reduce.pHAfter!).toBeGreaterThan(4)
    // 3 IO3- + I2 + H2O2 of hydrogensulfite
    expect(t.doseMol).toBeCloseTo(0.06 + 0.004 + 0.4, 6)
    // acid made: 3 an iodate, 3 an iodine, 1 a peroxide; taken up one to one by hydrogencarbonate (malonate takes a little)
    const made = 3 * 0.02 + 3 * 0.004 + 0.4
    expect(reduce.additions.find((a) => a.reagent.formula === 'NaHCO3')!.amountMol / made).toBeCloseTo(1, 1)
    expect(reduce.gasMol['CO2(g)']!).toBeGreaterThan(0.3)
    expect(stage(t, 'decant').takenOutMol['MnCO3(s)']!).toBeGreaterThan(0.0065)
  })
  it('the heat of the reduction is that of the equations within what buffering takes: 378 kJ a mole of peroxide and 683 of iodate, less 13 a mole of acid', () => {
    const t = treat(request(caseFrom({ H2O2: 0.3, 'H+': 0.02, 'Cl-': 0.02 }), 'bisulfite', { metalPH: null }), world)
    // H2O2 + HSO3- -> SO4^2- + H+ + H2O (-377.7 kJ, cleanup_reactions HP-bisulf); HCO3- + H+ -> CO2(g) + H2O (+12.7 kJ, bicarb)
    const kJ = stage(t, 'reduce').heatKJ / 0.3
    expect(kJ).toBeGreaterThan(377.7 - 12.7 - 5)
    expect(kJ).toBeLessThan(377.7 + 15)
  })
})
