/** ExchangeModel -> SBML Level 3 Version 2 core. Functions stand written out; Level 2 formulas of stoichiometries become rules. */
import { type XmlPart, part, writeXml } from '@beakertide/basis/text'
import type {
  ExchangeAssignment,
  ExchangeEvent,
  ExchangeModel,
  ExchangeParameter,
  ExchangeParticipant,
  ExchangeReaction,
} from './exchange-model.ts'
import { mathPart } from './mathml-write.ts'
import { LEVEL_3_VERSION_2 } from './read-exchange.ts'

const XHTML = 'http://www.w3.org/1999/xhtml'

function decimal(value: number): string | undefined {
  if (Number.isNaN(value)) return undefined
  return Number.isFinite(value) ? String(value) : value > 0 ? 'INF' : '-INF'
}
const notesPart = (notes: readonly string[] | undefined): readonly XmlPart[] =>
  notes === undefined || notes.length === 0
    ? []
    : [
        part(
          'notes',
          {},
          notes.map((text) => part('p', { xmlns: XHTML }, [text])),
        ),
      ]
const list = (name: string, items: readonly XmlPart[]): readonly XmlPart[] => (items.length === 0 ? [] : [part(name, {}, items)])
const lastPart = (id: string): string => id.slice(id.indexOf('.') + 1)

function parameterPart(p: ExchangeParameter, isLocal: boolean): XmlPart {
  const attributes = { id: lastPart(p.id), name: p.name, value: decimal(p.value), units: p.units }
  return isLocal
    ? part('localParameter', attributes, notesPart(p.notes))
    : part('parameter', { ...attributes, constant: String(p.constant) }, notesPart(p.notes))
}

/** Identifier of a participant: its own, or one made for a formula that needs a rule. */
function participantId(reaction: ExchangeReaction, p: ExchangeParticipant): string | undefined {
  return p.id ?? (p.formula ? `${reaction.id}_${p.species}_stoichiometry` : undefined)
}

function reactionPart(reaction: ExchangeReaction): XmlPart {
  const participant = (p: ExchangeParticipant): XmlPart =>
    part('speciesReference', {
      id: participantId(reaction, p),
      species: p.species,
      stoichiometry: p.formula ? undefined : decimal(p.stoichiometry),
      constant: String(p.constant && !p.formula),
    })
  const law = reaction.law
    ? [
        part('kineticLaw', {}, [
          mathPart(reaction.law, (id) => (id.startsWith(`${reaction.id}.`) ? lastPart(id) : id)),
          ...list(
            'listOfLocalParameters',
            reaction.locals.map((p) => parameterPart(p, true)),
          ),
        ]),
      ]
    : []
  return part('reaction', { id: reaction.id, name: reaction.name, reversible: String(reaction.reversible) }, [
    ...notesPart(reaction.notes),
    ...list('listOfReactants', reaction.reactants.map(participant)),
    ...list('listOfProducts', reaction.products.map(participant)),
    ...list(
      'listOfModifiers',
      reaction.modifiers.map((species) => part('modifierSpeciesReference', { species })),
    ),
    ...law,
  ])
}

function eventPart(event: ExchangeEvent): XmlPart {
  const id = /^[A-Za-z_]\w*$/.test(event.id) ? event.id : undefined
  const trigger = event.trigger
    ? [part('trigger', { initialValue: String(event.initialValue), persistent: String(event.persistent) }, [mathPart(event.trigger)])]
    : []
  return part('event', { id, useValuesFromTriggerTime: String(event.useValuesFromTriggerTime) }, [
    ...trigger,
    ...(event.delay ? [part('delay', {}, [mathPart(event.delay)])] : []),
    ...(event.priority ? [part('priority', {}, [mathPart(event.priority)])] : []),
    ...list(
      'listOfEventAssignments',
      event.assignments.map((a) => part('eventAssignment', { variable: a.symbol }, [mathPart(a.math)])),
    ),
  ])
}

function unitParts(model: ExchangeModel): readonly XmlPart[] {
  return Object.entries(model.unitDefinitions).map(([id, factors]) =>
    part('unitDefinition', { id }, [
      ...list(
        'listOfUnits',
        factors.map((f) =>
          part('unit', { kind: f.kind, exponent: String(f.exponent), scale: String(f.scale), multiplier: String(f.multiplier) }),
        ),
      ),
    ]),
  )
}

/** Text of a model; reading it gives the same model (but for notes, and names of events that are no identifiers). */
export function writeExchange(model: ExchangeModel): string {
  const rule = (name: string, r: ExchangeAssignment): XmlPart => part(name, { variable: r.symbol }, [mathPart(r.math)])
  const formulas = model.reactions.flatMap((reaction) =>
    [...reaction.reactants, ...reaction.products].flatMap((p) => {
      const id = participantId(reaction, p)
      return p.formula && id !== undefined ? [part('assignmentRule', { variable: id }, [mathPart(p.formula)])] : []
    }),
  )
  const units = Object.fromEntries(Object.entries(model.units).map(([kind, unit]) => [`${kind}Units`, unit]))
  const body = part(
    'model',
    { id: model.id === '' ? undefined : model.id, name: model.name, ...units, conversionFactor: model.conversionFactor },
    [
      ...notesPart(model.notes),
      ...list('listOfUnitDefinitions', unitParts(model)),
      ...list(
        'listOfCompartments',
        model.compartments.map((c) =>
          part('compartment', {
            id: c.id,
            name: c.name,
            spatialDimensions: c.dimensions === null ? undefined : String(c.dimensions),
            size: decimal(c.size),
            units: c.units,
            constant: String(c.constant),
          }),
        ),
      ),
      ...list(
        'listOfSpecies',
        model.species.map((s) =>
          part(
            'species',
            {
              id: s.id,
              name: s.name,
              compartment: s.compartment,
              initialAmount: s.initialAmount === undefined ? undefined : (decimal(s.initialAmount) ?? 'NaN'),
              initialConcentration: s.initialConcentration === undefined ? undefined : (decimal(s.initialConcentration) ?? 'NaN'),
              substanceUnits: s.substanceUnits,
              hasOnlySubstanceUnits: String(s.hasOnlySubstanceUnits),
              boundaryCondition: String(s.boundaryCondition),
              constant: String(s.constant),
              conversionFactor: s.conversionFactor,
            },
            notesPart(s.notes),
          ),
        ),
      ),
      ...list(
        'listOfParameters',
        model.parameters.map((p) => parameterPart(p, false)),
      ),
      ...list(
        'listOfInitialAssignments',
        model.initialAssignments.map((a) => part('initialAssignment', { symbol: a.symbol }, [mathPart(a.math)])),
      ),
      ...list('listOfRules', [
        ...model.assignmentRules.map((r) => rule('assignmentRule', r)),
        ...formulas,
        ...model.rateRules.map((r) => rule('rateRule', r)),
      ]),
      ...list(
        'listOfConstraints',
        model.constraints.map((c) =>
          part('constraint', {}, [
            mathPart(c.math),
            ...(c.message === '' ? [] : [part('message', {}, [part('p', { xmlns: XHTML }, [c.message])])]),
          ]),
        ),
      ),
      ...list('listOfReactions', model.reactions.map(reactionPart)),
      ...list('listOfEvents', model.events.map(eventPart)),
    ],
  )
  return writeXml(part('sbml', { xmlns: LEVEL_3_VERSION_2, level: '3', version: '2' }, [body]))
}
