/**
 * Hazards against hand calculation: worked examples of the UN sub-committee, strength bands of published lists, acute-toxicity formulas,
 * pH reserve, vapours in one well-mixed box, pressure in a closed bottle. Each arithmetic is written beside its number.
 */
import {
  acuteCategory,
  acuteTable,
  acuteToxicityEstimate,
  bandOf,
  gaugeBar,
  gasVolumeL,
  type Ingredient,
  limitOf,
  meanPpm,
  mixtureClasses,
  peroxideHeat,
  ppmAt,
  ppmInRoom,
  reserveVerdict,
} from '@beakertide/core/cautions'
import { facts } from '@beakertide/data'
import { found, ledger } from './ledger.ts'

const { check } = ledger('hazards')
const hazards = facts.hazards()
const rules = hazards.mixtureRules
const rounded = 'rounded as printed'
const exact = 'exact arithmetic'

/** 1 when the mixture earns exactly these statements, 0 when not: an answer of words beside an answer of words. */
function earns(text: string, statements: string): number {
  const parts: readonly Ingredient[] = text.split(', ').map((part) => {
    const [id, percent] = part.split(' ')
    const row = found(
      hazards.substances.find((s) => s.id === id),
      `substance ${id}`,
    )
    return { row, massFraction: Number(percent) / 100, bands: hazards.bands.filter((b) => b.substanceId === row.id) }
  })
  return mixtureClasses(parts, rules)
    .map((c) => c.statement)
    .join(' ') === statements
    ? 1
    : 0
}

const un = {
  source: 'UN sub-committee of experts on the GHS, worked mixture example (rows G1 to G3 of ghs_worked_examples.csv)',
  seen: 'read' as const,
}
const g1 = [
  { massFraction: 0.16, estimate: 1600 },
  { massFraction: 0.04, estimate: 200 },
  { massFraction: 0.8, estimate: 3450 },
]
check('G1 oral: 100/(16/1600 + 4/200 + 80/3450)', {
  ...un,
  ours: () => acuteToxicityEstimate(g1, 0, rules),
  theirs: 1880,
  unit: 'mg/kg',
  within: 5,
  because: rounded,
})
check('G1 oral category', {
  ...un,
  ours: () => acuteCategory(acuteToxicityEstimate(g1, 0, rules), acuteTable('oral', rules).limits) ?? 0,
  theirs: 4,
  unit: 'category',
  within: 0,
  because: exact,
})
check('G2 oral: 100/(26/2737 + 23/4500 + 40/400), the rest harmless by mouth', {
  ...un,
  ours: () =>
    acuteToxicityEstimate(
      [
        { massFraction: 0.26, estimate: 2737 },
        { massFraction: 0.23, estimate: 4500 },
        { massFraction: 0.4, estimate: 400 },
      ],
      0,
      rules,
    ),
  theirs: 873,
  unit: 'mg/kg',
  within: 1,
  because: rounded,
})
check('G3 inhaled, 11 % unknown: 89/(26/11 + 23/19 + 40/4)', {
  ...un,
  ours: () =>
    acuteToxicityEstimate(
      [
        { massFraction: 0.26, estimate: 11 },
        { massFraction: 0.23, estimate: 19 },
        { massFraction: 0.4, estimate: 4 },
      ],
      0.11,
      rules,
    ),
  theirs: 6.6,
  unit: 'mg/L',
  within: 0.05,
  because: rounded,
})

const bands = [
  [
    'peroxide 7.9 %',
    'hydrogen_peroxide_100 7.9',
    'H319',
    'ECHA registry of classification intentions; limits 5, 8, 35, 50 and 70 %',
    'read',
  ],
  ['peroxide 8 %', 'hydrogen_peroxide_100 8', 'H272 H318', 'as before, with transport group III from 8 %', 'read'],
  ['peroxide 35 %', 'hydrogen_peroxide_100 35', 'H272 H302 H315 H318 H332 H335', 'as before', 'read'],
  ['peroxide 50 %', 'hydrogen_peroxide_100 50', 'H272 H302 H314 H332 H335', 'as before', 'read'],
  ['sulfuric acid 4.9 %', 'sulfuric_acid 4.9', '', 'Finnish list of limits for acids and alkalis (R-FIacids)', 'read'],
  ['sulfuric acid 5 %', 'sulfuric_acid 5', 'H315 H319', 'as before', 'read'],
  ['sulfuric acid 15 %', 'sulfuric_acid 15', 'H314', 'as before', 'read'],
  ['sodium hydroxide 0.5 %', 'sodium_hydroxide 0.5', 'H315 H319', 'as before', 'read'],
  ['sodium hydroxide 2 %', 'sodium_hydroxide 2', 'H314', 'as before', 'read'],
  ['hydrochloric acid 10 %', 'hydrochloric_acid 10', 'H315 H319 H335', 'as before', 'read'],
  [
    'G4 iodate 5.5 % and sulfuric acid 0.93 %: ATE 9086, eye damage from 3 %',
    'potassium_iodate 5.5, sulfuric_acid 0.93',
    'H318',
    'by hand, rows EYE-1 and AT-1',
    'computed',
  ],
  [
    'G5 copper sulfate 21.7 %: 10 x 21.7 >= 25 acute, chronic 2',
    'copper_sulfate_5 21.7',
    'H318 H400 H411',
    'by hand, rows AQ-1, AQ-5',
    'computed',
  ],
  ['G6 copper sulfate 2.46 %: 24.6 < 25, 100 x 2.46 >= 25', 'copper_sulfate_5 2.46', 'H319 H412', 'by hand, rows EYE-2, AQ-6', 'computed'],
  ['two acids, 10/15 + 16/25 = 1.31', 'sulfuric_acid 10, phosphoric_acid 16', 'H314', 'by hand, shares of the specific limits', 'memory'],
] as const
for (const [name, mixture, statements, source, seen] of bands) {
  check(`${name}: ${statements || 'no class'}`, {
    source,
    seen,
    ours: () => earns(mixture, statements),
    theirs: 1,
    unit: '1 = the same classes',
    within: 0,
    because: exact,
  })
}
check('first strength of peroxide with an eye class', {
  source: 'ECHA registry, as before',
  seen: 'read',
  ours: () =>
    (bandOf('hydrogen_peroxide_100', 0.0499, hazards)?.hCodes.length ?? 0) +
    100 * (bandOf('hydrogen_peroxide_100', 0.05, hazards)?.from ?? 0),
  theirs: 5,
  unit: '%',
  within: 1e-9,
  because: exact,
})
for (const [id, percent, source] of [
  ['SKIN-1', 5, 'New Zealand classification guide (R-NZguide)'],
  ['SKIN-2', 1, 'New Zealand classification guide (R-NZguide)'],
  ['SENS-1', 1, 'Cefic table of generic limits (R-Cefic)'],
  ['MUTA-1', 0.1, 'CLP annex I 3.5.3 (R-CLP353)'],
] as const) {
  check(`limit of rule ${id}`, {
    source,
    seen: 'read',
    ours: () => 100 * limitOf(id, rules),
    theirs: percent,
    unit: '%',
    within: 1e-9,
    because: exact,
  })
}

const young = {
  source: 'Young, How, Walker and Worth, Toxicol. in Vitro 1988, 2, 19, as remembered; rows G8, G9 by hand',
  seen: 'memory' as const,
}
const verdicts = ['neither', 'irritant', 'corrosive']
check('G8: pH 1.2, reserve 0.4: 1.2 - 0.4/12 = 1.17, 1.2 - 0.4/6 = 1.13', {
  ...young,
  ours: () => verdicts.indexOf(reserveVerdict(1.2, 0.4)),
  theirs: 0,
  unit: '0 neither, 1 irritant, 2 corrosive',
  within: 0,
  because: exact,
})
check('G9: pH 13, reserve 0.4: 13 + 0.4/12 = 13.03, 13 + 0.4/6 = 13.07', {
  ...young,
  ours: () => verdicts.indexOf(reserveVerdict(13, 0.4)),
  theirs: 1,
  unit: '0 neither, 1 irritant, 2 corrosive',
  within: 0,
  because: exact,
})

const hall = { temperatureK: 293.15, volumeM3: 100 }
const byHand = { source: 'by hand: ideal gas, one well-mixed box', seen: 'computed' as const }
check('0.10 g of iodine (0.41 mmol) evaporated in 100 m3', {
  source: 'hazards facts, section 3: 0.41 mmol brings 100 m3 to the ceiling of 0.1 ppm',
  seen: 'computed',
  ours: () => ppmInRoom(0.00041, hall),
  theirs: 0.1,
  unit: 'ppm',
  within: 0.002,
  because: rounded,
})
check('10 mg/h of iodine in 100 m3 at 3 air changes an hour: 10/(3 x 100) mg/m3 in the long run', {
  source: 'row "rule of thumb" of ppe_firstaid_spill.csv: C = G/(n V) = 0.03 mg/m3',
  seen: 'memory',
  // 100 h of release; mg/m3 from ppm with 253.81 g/mol and 24.06 L/mol at 20 degC
  ours: () => (ppmAt(99.9 * 3600, ppmInRoom((100 * 0.01) / 253.81, hall), 100 * 3600, 3 / 3600) * 253.81) / gasVolumeL(1, 293.15),
  theirs: 0.0333,
  unit: 'mg/m3',
  within: 0.0002,
  because: rounded,
})
check('10 ppm at once, 3 air changes an hour, after 20 min: 10 exp(-1)', {
  ...byHand,
  ours: () => ppmAt(1200, 10, 0, 3 / 3600),
  theirs: 3.6788,
  unit: 'ppm',
  within: 1e-4,
  because: rounded,
})
check('mean of the first 15 min of the same: 10 (1 - exp(-0.75))/0.75', {
  ...byHand,
  ours: () => meanPpm(900, 10, 0, 3 / 3600),
  theirs: 7.0351,
  unit: 'ppm',
  within: 1e-3,
  because: rounded,
})
check('mean of 8 h of the same: 10 (1 - exp(-24))/24', {
  ...byHand,
  ours: () => meanPpm(28800, 10, 0, 3 / 3600),
  theirs: 0.41667,
  unit: 'ppm',
  within: 1e-4,
  because: rounded,
})
check('1 g of thiosulfate pentahydrate as sulfur dioxide in 100 m3', {
  source: 'hazards facts, section 3: brings 100 m3 to 1 ppm',
  seen: 'computed',
  ours: () => ppmInRoom(1 / 248.18, hall),
  theirs: 1,
  unit: 'ppm',
  within: 0.05,
  because: 'said as 1',
})
check('1 L of 0.3 mol/L peroxide closed in 1.25 L', {
  source: 'row perox-closed of incompatibilities.csv: 14.6 bar above the air’s',
  seen: 'computed',
  ours: () => gaugeBar(gasVolumeL(0.15, 293.15), 1, 1.25),
  theirs: 14.6,
  unit: 'bar',
  within: 0.1,
  because: rounded,
})
check('heat of a litre of 30 % peroxide (9.8 mol)', {
  source: 'hazards facts, section 5: 928 kJ/L',
  seen: 'computed',
  ours: () => peroxideHeat(9.8, 1110, 293.15, hazards).heatKJ,
  theirs: 928,
  unit: 'kJ',
  within: 2,
  because: rounded,
})
