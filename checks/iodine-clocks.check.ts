/**
 * The three iodine clocks against closed forms: the rate laws with thiosulfate or hydrogensulfite can be integrated by hand, so our
 * network, compiler and integrator must give that time. This checks transcription and numerics, not nature: the constants are the same.
 */
import { firstPassing } from './network-run.ts'
import { ledger } from './ledger.ts'

const { check } = ledger('iodine-clocks')

/** Iodine that counts as visible, mol/L: both sides use the same. */
const VISIBLE = 1e-5
const IODINE = ['I2', 'I3-']

/** Composite Simpson rule on n intervals (even). */
function simpson(f: (x: number) => number, from: number, to: number, n = 20000): number {
  const h = (to - from) / n
  let sum = f(from) + f(to)
  for (let i = 1; i < n; i++) sum += f(from + i * h) * (i % 2 === 1 ? 4 : 2)
  return (sum * h) / 3
}

// Peroxide, iodide, thiosulfate: rate (k1 + k2 [H+]) [H2O2] [I-]; iodide constant while thiosulfate lasts.
const K1 = 1.15e-2
const K2 = 0.175
const PEROXIDE =
  'closed form of rate = (k1 + k2 [H+]) [H2O2][I-] with iodide constant, k1 0.0115, k2 0.175 (mechanisms.md 4.3 of the shared facts; constants after Liebhafsky & Mohammad, J. Am. Chem. Soc. 55, 3977 (1933))'
/** a peroxide, i iodide, h acid held, x peroxide used. */
const buffered = (a: number, i: number, h: number, x: number): number => Math.log(a / (a - x)) / (i * (K1 + K2 * h))
/** The same with acid used, two a peroxide. */
const unbuffered = (a: number, i: number, h: number, x: number): number =>
  Math.log((a * (K1 + K2 * (h - 2 * x))) / ((a - x) * (K1 + K2 * h))) / (i * (K1 + K2 * h - 2 * K2 * a))

for (const [name, a, i, h, s, isHeld] of [
  ['acetate buffer of pH 4.7', 0.02, 0.02, 2e-5, 0.001, true],
  ['pH 4.7, much thiosulfate', 0.02, 0.02, 2e-5, 0.01, true],
  ['pH 2 held', 0.05, 0.01, 0.01, 0.002, true],
  ['strong acid 0.10 mol/L, not buffered', 0.02, 0.02, 0.1, 0.001, false],
  ['acid 0.05 mol/L, not buffered, much thiosulfate', 0.02, 0.05, 0.05, 0.01, false],
] as const) {
  check(`peroxide clock, ${name}`, {
    source: PEROXIDE,
    seen: 'computed',
    ours: () =>
      firstPassing(
        {
          mechanism: 'peroxide-iodide-thiosulfate/clock',
          molPerL: { H2O2: a, 'I-': i, 'H+': h, 'S2O3^2-': s },
          ...(isHeld ? { held: ['H+'] } : {}),
          toS: 6000,
        },
        IODINE,
        VISIBLE,
      ),
    theirs: (isHeld ? buffered : unbuffered)(a, i, h, s / 2 + VISIBLE),
    unit: 's',
    within: 2e-3,
    relative: true,
    because: 'iodine that stands while thiosulfate lasts, and iodide bound in triiodide after it, are left out of the closed form (0.1 %)',
  })
}

// Persulfate: rate k [S2O8^2-][I-], k of the ionic strength by the primary salt effect.
const persulfateRate = (strength: number): number => 1.06e-3 * 10 ** ((4 * 0.509 * Math.sqrt(strength)) / (1 + Math.sqrt(strength)))
for (const [a, i, s, strength] of [
  [0.04, 0.08, 0.002, 0.3],
  [0.02, 0.02, 0.0005, 0.1],
  [0.05, 0.05, 0.02, 0.2],
] as const) {
  check(`persulfate clock, ${a} persulfate, ${i} iodide, ${s} thiosulfate, ionic strength ${strength} mol/L`, {
    source:
      'closed form t = ln(a/(a - x))/(i k), lg k = lg 1.06e-3 + 4 x 0.509 sqrt(I)/(1 + sqrt(I)) (mechanisms.md 4.4 of the shared facts; memory)',
    seen: 'computed',
    ours: () =>
      firstPassing(
        {
          mechanism: 'persulfate-iodide-thiosulfate/clock',
          molPerL: { 'S2O8^2-': a, 'I-': i, 'S2O3^2-': s },
          constants: { 'P1.I': strength },
          toS: 40000,
        },
        IODINE,
        VISIBLE,
      ),
    theirs: Math.log(a / (a - s / 2 - VISIBLE)) / (i * persulfateRate(strength)),
    unit: 's',
    within: 2e-3,
    relative: true,
    because: 'iodide bound in triiodide after the turn is left out of the closed form (0.1 %)',
  })
}
for (const [strength, k] of [
  [0, 1.06e-3],
  [0.03, 2.1e-3],
  [0.1, 3.3e-3],
  [0.3, 5.6e-3],
] as const) {
  check(`persulfate clock, rate constant at ionic strength ${strength} mol/L`, {
    source: 'mechanisms.md 4.4 of the shared facts (primary salt effect; memory)',
    seen: 'memory',
    // A clock with next to no thiosulfate: ln(a/(a - x)) / (i t).
    ours: () => {
      const timeS = firstPassing(
        {
          mechanism: 'persulfate-iodide-thiosulfate/clock',
          molPerL: { 'S2O8^2-': 0.01, 'I-': 0.01 },
          constants: { 'P1.I': strength },
          toS: 4000,
        },
        IODINE,
        VISIBLE,
      )
      return Math.log(0.01 / (0.01 - VISIBLE)) / (0.01 * timeS)
    },
    theirs: k,
    unit: 'L/(mol s)',
    within: 0.02,
    relative: true,
    because: 'printed to two figures',
  })
}

// Iodate and hydrogensulfite at held [H+]: dy/dt = (A - y) [kL (S - 3y) + H^2 (kd1 y + kd2 y^2)], y iodide made; then iodine.
const KL = 0.295
const KD1 = 1.2e3
const KD2 = 4.2e8
const dushman = (iodide: number, h: number): number => h * h * (KD1 * iodide + KD2 * iodide * iodide)
function iodateClockTime(iodate: number, sulfite: number, h: number): number {
  const until = simpson((y) => 1 / ((iodate - y) * (KL * (sulfite - 3 * y) + dushman(y, h))), 0, sulfite / 3)
  // Iodine w made from the iodide that is there: dw/dt = 3 (A - y_end - w/3) H^2 (kd1 i + kd2 i^2), i = y_end - 5 w/3.
  const visible = simpson((w) => 1 / (3 * (iodate - sulfite / 3 - w / 3) * dushman(sulfite / 3 - (5 * w) / 3, h)), 0, VISIBLE, 200)
  return until + visible
}
const LANDOLT =
  'integral of the two rate laws at constant [H+], by Simpson’s rule (mechanisms.md 4.2 of the shared facts; kL 0.295, kd1 1.2e3, kd2 4.2e8)'
for (const [iodate, sulfite, h] of [
  [0.01, 0.005, 1e-4],
  [0.01, 0.005, 1e-3],
  [0.005, 0.005, 1e-3],
  [0.02, 0.01, 3e-4],
] as const) {
  const theirs = iodateClockTime(iodate, sulfite, h)
  const start = { 'IO3-': iodate, 'HSO3-': sulfite, 'H+': h }
  const name = `${iodate} iodate, ${sulfite} hydrogensulfite, [H+] ${h} mol/L held`
  check(`iodate clock, ${name}, three laws alone`, {
    source: LANDOLT,
    seen: 'computed',
    ours: () =>
      firstPassing(
        { mechanism: 'iodate-bisulfite/lumped', molPerL: start, held: ['H+'], steps: ['L1', 'L2', 'L3'], toS: 6000 },
        ['I2'],
        VISIBLE,
      ),
    theirs,
    unit: 's',
    within: 2e-3,
    relative: true,
    because: 'ours removes iodine at 1e6 L/(mol s), the closed form at once',
  })
  check(`iodate clock, ${name}, whole mechanism`, {
    source: LANDOLT,
    seen: 'computed',
    ours: () => firstPassing({ mechanism: 'iodate-bisulfite/lumped', molPerL: start, held: ['H+'], toS: 6000 }, IODINE, VISIBLE),
    theirs,
    unit: 's',
    within: 0.06,
    relative: true,
    because: 'the closed form leaves out sulfur dioxide (7 % of the sulfite at [H+] 1e-3), sulfite ion and triiodide',
  })
}
