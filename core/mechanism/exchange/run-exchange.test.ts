/** Small models written for this test from the standard's text; expected courses are closed forms. */
import { describe, expect, it } from 'vitest'
import { invariant } from '@beakertide/basis/problems'
import { assemble } from './assemble.ts'
import type { ExchangeEvent, ExchangeModel, ExchangeReaction, ExchangeSpecies } from './exchange-model.ts'
import { apply, type MathNode, name, number } from './math-tree.ts'
import { type ExchangeRun, runExchange, type WantedColumn } from './run-exchange.ts'

const span = { line: 1, column: 1 }
const time: MathNode = { op: 'time' }
const none: ExchangeModel = {
  file: 'm.xml',
  level: 3,
  version: 2,
  id: 'm',
  units: {},
  unitDefinitions: {},
  compartments: [],
  species: [],
  parameters: [],
  initialAssignments: [],
  assignmentRules: [],
  rateRules: [],
  reactions: [],
  events: [],
  constraints: [],
}
const parameter = (id: string, value = Number.NaN) => ({ id, span, value, constant: false })
const compartment = (id: string, size: number, dimensions = 3) => ({ id, span, size, dimensions, constant: false })
const species = (id: string, more: Partial<ExchangeSpecies> = {}): ExchangeSpecies => ({
  id,
  span,
  compartment: 'V',
  hasOnlySubstanceUnits: false,
  boundaryCondition: false,
  constant: false,
  ...more,
})
const set = (symbol: string, math: MathNode) => ({ symbol, math, span })
const reaction = (id: string, from: string, to: string, law: MathNode, more: Partial<ExchangeReaction> = {}): ExchangeReaction => ({
  id,
  span,
  reversible: false,
  modifiers: [],
  locals: [],
  law,
  reactants: from === '' ? [] : [{ species: from, stoichiometry: 1, constant: true }],
  products: to === '' ? [] : [{ species: to, stoichiometry: 1, constant: true }],
  ...more,
})
const event = (
  id: string,
  trigger: MathNode,
  assignments: ExchangeEvent['assignments'],
  more: Partial<ExchangeEvent> = {},
): ExchangeEvent => ({
  id,
  span,
  trigger,
  initialValue: true,
  persistent: true,
  useValuesFromTriggerTime: true,
  assignments,
  ...more,
})

function run(model: Partial<ExchangeModel>, times: readonly number[], ...columns: readonly (string | WantedColumn)[]): ExchangeRun {
  const built = assemble({ ...none, ...model })
  invariant(built.ok, built.ok ? '' : built.problems.map((p) => p.what).join())
  return runExchange(built.value, { times, columns: columns.map((c) => (typeof c === 'string' ? { id: c, as: 'value' } : c)) })
}
/** The one column of the run. */
const course = (model: Partial<ExchangeModel>, times: readonly number[], column: string | WantedColumn): readonly number[] =>
  run(model, times, column).rows.map((row) => row[0]!)
function close(found: readonly number[], expected: readonly number[], digits = 6): void {
  expect(found).toHaveLength(expected.length)
  found.forEach((x, i) => expect(x).toBeCloseTo(expected[i]!, digits))
}

describe('a model in time', () => {
  it('decays: n(t) = n0 exp(-k t), amounts and concentrations in a vessel of two litres', () => {
    const model = {
      compartments: [compartment('V', 2)],
      species: [species('A', { initialConcentration: 3 }), species('B', { initialAmount: 0, hasOnlySubstanceUnits: true })],
      parameters: [parameter('k', 0.7)],
      reactions: [reaction('r', 'A', 'B', apply('mul', name('V'), apply('mul', name('k'), name('A'))))],
    }
    const result = run(model, [0, 1, 2], 'A', { id: 'A', as: 'amount' }, 'B', { id: 'B', as: 'concentration' }, 'r')
    result.rows.forEach((row, t) => {
      const left = Math.exp(-0.7 * t)
      close([...row], [3 * left, 6 * left, 6 - 6 * left, 3 - 3 * left, 4.2 * left])
    })
    expect(result.ending.how).toBe('reached-end')
  })

  it('keeps the amount when its vessel grows: c = n/(1 + t)', () => {
    const model = { compartments: [compartment('V', 1)], rateRules: [set('V', number(1))], species: [species('A', { initialAmount: 5 })] }
    close(course(model, [0, 1, 4], 'A'), [5, 2.5, 1])
    close(course(model, [0, 1, 4], { id: 'A', as: 'amount' }), [5, 5, 5])
  })

  it('lets a rate rule govern the concentration, whatever the vessel does: n = c V = (1 + t)^2', () => {
    const model = {
      compartments: [compartment('V', 1)],
      rateRules: [set('V', number(1)), set('A', number(1))],
      species: [species('A', { initialConcentration: 1 })],
    }
    close(course(model, [0, 1, 2], { id: 'A', as: 'amount' }), [1, 4, 9])
  })

  it('gives rate of change of a concentration with dilution: (n/V)′ = −n/V²', () => {
    const model = {
      compartments: [compartment('V', 1)],
      rateRules: [set('V', number(1))],
      species: [species('A', { initialAmount: 1 })],
      parameters: [parameter('p')],
      assignmentRules: [set('p', { op: 'rate-of', id: 'A' })],
    }
    close(course(model, [0, 1, 3], 'p'), [-1, -1 / 4, -1 / 16])
  })

  it('multiplies by conversion factors and by stoichiometries that rules set: n = 10 t^2/2', () => {
    const model = {
      compartments: [compartment('V', 1)],
      species: [species('A', { initialAmount: 0, conversionFactor: 'f' })],
      parameters: [parameter('f', 10)],
      assignmentRules: [set('s', time)],
      reactions: [reaction('r', '', 'A', number(1), { products: [{ species: 'A', id: 's', stoichiometry: 1, constant: false }] })],
    }
    close(course(model, [0, 1, 2], 'A'), [0, 5, 20])
  })

  it('takes starts in any order, over the attributes, and keeps boundary species', () => {
    const model = {
      compartments: [compartment('V', 1)],
      species: [species('A', { initialAmount: 1, boundaryCondition: true }), species('B', { initialAmount: 0 })],
      parameters: [parameter('p', 1), parameter('q', 2)],
      initialAssignments: [set('A', apply('mul', name('p'), number(2))), set('p', apply('add', name('q'), number(1)))],
      reactions: [reaction('r', 'A', 'B', name('A'))],
    }
    close([...run(model, [0, 2], 'A', 'B', 'p').rows[1]!], [6, 12, 3])
  })

  it('has no value where none was given, and none in what depends on it, but runs the rest', () => {
    const model = {
      parameters: [parameter('x'), parameter('y', 1), parameter('z', 1)],
      rateRules: [set('x', number(1)), set('y', name('x')), set('z', apply('neg', name('z')))],
    }
    const row = run(model, [0, 1], 'x', 'y', 'z').rows[1]!
    expect(row[0]).toBeNaN()
    expect(row[1]).toBeNaN()
    expect(row[2]).toBeCloseTo(Math.exp(-1), 6)
  })

  it('counts a vessel without dimensions as no vessel: species are amounts', () => {
    const model = {
      compartments: [compartment('V', Number.NaN, 0)],
      species: [species('A', { initialAmount: 1 })],
      reactions: [reaction('r', 'A', '', name('A'))],
    }
    close(course(model, [0, 1], 'A'), [1, Math.exp(-1)])
  })

  it('names a constraint that fails', () => {
    const model = {
      parameters: [parameter('x', 0)],
      rateRules: [set('x', number(1))],
      constraints: [{ math: apply('lt', name('x'), number(1.5)), message: 'too much', span }],
    }
    expect(run(model, [0, 1, 2, 3], 'x').broken).toEqual([{ message: 'too much', time: 2 }])
  })
})

describe('events', () => {
  const clock = (at: number): MathNode => apply('geq', time, number(at))
  const x = { parameters: [parameter('x', 1), parameter('y', 0)], rateRules: [set('x', apply('neg', name('x')))] }

  it('fire where the state crosses: x = exp(-t) falls through 1/2 at ln 2 and is set back', () => {
    const model = { ...x, events: [event('e', apply('lt', name('x'), number(0.5)), [set('x', number(1))])] }
    const result = run(model, [0, 1, 2, 3], 'x')
    expect(result.fired.map((f) => f.time)).toHaveLength(4)
    result.fired.forEach((f, i) => expect(f.time).toBeCloseTo((i + 1) * Math.LN2, 7))
    close(
      result.rows.map((r) => r[0]!),
      [0, 1, 2, 3].map((t) => 2 ** Math.floor(t / Math.LN2) * Math.exp(-t)),
    )
  })

  it('show the state after them in a row of the same moment', () => {
    close(
      course({ parameters: [parameter('x', 0)], events: [event('e', clock(2), [set('x', number(1))])] }, [0, 1, 2, 3], 'x'),
      [0, 0, 1, 1],
    )
  })

  it('fire at the start only when the trigger is said to have been false', () => {
    const at = (initialValue: boolean) =>
      course({ parameters: [parameter('x', 0)], events: [event('e', clock(0), [set('x', number(1))], { initialValue })] }, [0, 1], 'x')
    expect(at(true)).toEqual([0, 0])
    expect(at(false)).toEqual([1, 1])
  })

  it('wait for their delay, with values of the trigger or of the moment', () => {
    const at = (useValuesFromTriggerTime: boolean) =>
      course(
        {
          ...x,
          rateRules: [set('x', number(1))],
          events: [event('e', clock(1), [set('y', name('x'))], { delay: number(2), useValuesFromTriggerTime })],
        },
        [2.9, 3, 4],
        'y',
      )
    close(at(true), [0, 2, 2])
    close(at(false), [0, 4, 4])
  })

  it('are dropped when not persistent and the trigger turns false before', () => {
    const inside = apply('and', clock(1), apply('lt', time, number(2)))
    const at = (persistent: boolean) =>
      course(
        { parameters: [parameter('y', 0)], events: [event('e', inside, [set('y', number(1))], { delay: number(1.5), persistent })] },
        [0, 3],
        'y',
      )
    expect(at(true)).toEqual([0, 1])
    expect(at(false)).toEqual([0, 0])
  })

  it('at one moment go by priority, the highest first, with the values of their triggers', () => {
    const model = {
      parameters: [parameter('y', 0), parameter('z', 0)],
      events: [
        event('low', clock(1), [set('y', number(1)), set('z', name('y'))], { priority: number(1) }),
        event('high', clock(1), [set('y', number(2))], { priority: number(5) }),
      ],
    }
    const result = run(model, [0, 1], 'y', 'z')
    expect(result.fired.map((f) => f.id)).toEqual(['high', 'low'])
    expect([...result.rows[1]!]).toEqual([1, 0])
  })

  it('set off one another at the same moment', () => {
    const model = {
      parameters: [parameter('x', 0), parameter('y', 0)],
      events: [event('a', clock(1), [set('x', number(1))]), event('b', apply('gt', name('x'), number(0.5)), [set('y', time)])],
    }
    close([...run(model, [0, 2], 'x', 'y').rows[1]!], [1, 1])
  })

  it('keep amounts when they change a vessel; an assigned concentration counts with the size before', () => {
    const model = {
      compartments: [compartment('V', 2)],
      species: [species('A', { initialConcentration: 3 }), species('B', { initialConcentration: 1 })],
      events: [event('e', clock(1), [set('B', number(5)), set('V', number(4))])],
    }
    close([...run(model, [0, 1], 'A', 'B', { id: 'B', as: 'amount' }).rows[1]!], [1.5, 2.5, 10])
  })

  it('are met at once through sixty rules that double one another', () => {
    const doubled = Array.from({ length: 60 }, (_, i) => set(`p${i}`, i === 59 ? time : apply('add', name(`p${i + 1}`), name(`p${i + 1}`))))
    const model = {
      parameters: [parameter('x', 0), ...doubled.map((d) => parameter(d.symbol))],
      assignmentRules: doubled,
      events: [event('e', apply('geq', name('p0'), number(2 ** 59)), [set('x', number(1))])],
    }
    const result = run(model, [0, 2], 'x')
    expect(result.fired).toEqual([{ id: 'e', time: 1 }])
  })

  it('end the run by name when they never end', () => {
    const swap = (id: string, from: number, to: number) =>
      event(id, apply('eq', name('y'), number(from)), [set('y', number(to))], { initialValue: false })
    const result = run({ parameters: [parameter('y', 0)], events: [swap('a', 0, 1), swap('b', 1, 0)] }, [0, 1], 'y')
    expect(result.ending).toMatchObject({ how: 'stopped-short', why: 'events', advice: expect.stringContaining('without end') as string })
  })

  it('refuse to wait a negative time', () => {
    const result = run(
      { parameters: [parameter('y', 0)], events: [event('e', clock(1), [set('y', number(1))], { delay: number(-1) })] },
      [0, 2],
      'y',
    )
    expect(result.ending).toMatchObject({ how: 'stopped-short', advice: expect.stringContaining('delay of "e" is -1') as string })
  })

  it('are met exactly by piecewise rates: x′ = 1 to time 1, then −2', () => {
    const rate = apply('choose', apply('lt', time, number(1)), number(1), number(-2))
    close(course({ parameters: [parameter('x', 0)], rateRules: [set('x', rate)] }, [0, 0.5, 1, 2], 'x'), [0, 0.5, 1, -1], 9)
  })
})

describe('an assembled model', () => {
  it('runs again from its start, whatever the run before left', () => {
    const built = assemble({
      ...none,
      parameters: [parameter('x', 1), parameter('k', 1)],
      rateRules: [set('x', apply('mul', name('k'), name('x')))],
      events: [event('e', apply('gt', name('x'), number(2)), [set('k', number(-3)), set('x', number(9))])],
    })
    invariant(built.ok, '')
    const request = { times: [0, 0.5, 1, 2], columns: [{ id: 'x', as: 'value' as const }] }
    const first = runExchange(built.value, request)
    expect(runExchange(built.value, request).rows).toEqual(first.rows)
    expect(first.rows[3]![0]).toBeCloseTo(9 * Math.exp(-3 * (2 - Math.LN2)), 6)
  })

  it('stops when asked to', () => {
    const built = assemble({
      ...none,
      parameters: [parameter('x', 1)],
      rateRules: [set('x', apply('sin', apply('mul', number(1e4), time)))],
    })
    invariant(built.ok, '')
    const result = runExchange(built.value, { times: [0, 100], columns: [{ id: 'x', as: 'value' }], shouldStop: () => true })
    expect(result.ending).toMatchObject({ how: 'stopped-short', why: 'cancelled' })
    expect(runExchange(built.value, { times: [0, 100], columns: [{ id: 'x', as: 'value' }], mostSteps: 50 }).ending).toMatchObject({
      why: 'too-many-steps',
    })
  })
})
