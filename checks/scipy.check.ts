/**
 * End states of four catalogue mechanisms by a general-purpose library (SciPy), stored with the script that made them. That script
 * reads the mechanism files by itself: reader, compiler and integrator are all checked. Nothing here needs Python.
 */
import { found, ledger } from './ledger.ts'
import { runBatch } from './network-run.ts'
import { outsideJson } from './outside.ts'

const { check } = ledger('scipy')

interface ScipyRun {
  readonly mechanism: string
  readonly toS: number
  readonly relativeTolerance: number
  readonly molPerL: Readonly<Record<string, number>>
  readonly end: Readonly<Record<string, number>>
  readonly digitsSharedWithBdf: number
}
// The file is written by the script beside it; a wrong shape shows in the first run.
// oxlint-disable-next-line no-unsafe-type-assertion
const outside = outsideJson('scipy_reference') as { readonly source: string; readonly runs: readonly ScipyRun[] }

/** Species under this, mol/L, are the small rest of large flows. */
const LEAST = 1e-10

for (const run of outside.runs) {
  let state: ReturnType<typeof runBatch> | undefined
  // Their own two methods agree to so many digits; one is left for ours.
  const within = 10 ** -Math.min(6, run.digitsSharedWithBdf - 1)
  for (const [species, theirs] of Object.entries(run.end)) {
    if (theirs < LEAST) continue
    check(`${run.mechanism}: ${species} at ${run.toS} s`, {
      source: `${outside.source}; relative tolerance ${run.relativeTolerance}, its BDF agrees to ${run.digitsSharedWithBdf} digits`,
      seen: 'computed',
      ours: () =>
        (state ??= runBatch({ mechanism: run.mechanism, molPerL: run.molPerL, toS: run.toS, relative: 1e-10, absolute: 1e-18 })).end(
          species,
        ),
      theirs,
      unit: 'mol/L',
      within,
      relative: true,
      because: 'their two methods agree ten times better, or to more than seven digits',
    })
  }
  check(`${run.mechanism}: species compared`, {
    source: outside.source,
    seen: 'computed',
    ours: () => found(state, 'run').network.stateNames.length,
    theirs: Object.keys(run.end).length,
    unit: '1',
    within: 0,
    because: 'a count',
  })
}
