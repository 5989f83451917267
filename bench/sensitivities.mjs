// Forward sensitivities against plain runs and against differences: when the iodine of a batch iodate oscillator passes a level, by every constant.
import { createIntegrator } from '@beakertide/basis/numerics'
import { compileNetwork, findMechanism, networkSensitivities, passage, placeStart, varyConstant } from '@beakertide/core/mechanism'
import { facts } from '@beakertide/data'

const MECHANISM = 'iodate-peroxide-malonate/batch'
/** A composition that oscillates at 25 °C, mol/L. */
const START = { 'IO3-': 0.0667, H2O2: 1.2, MA: 0.05, 'Mn2+': 0.0067, 'H+': 0.053, 'I-': 1e-6, I2: 1e-6 }
const UNTIL_S = 120
const LEVEL = 3e-4
const REPEATS = 5
const EVENT = 'iodine passes'
/** Powers below this are judged as if they were so large. */
const LEAST_POWER = 0.01

/** Best processor time of some runs, milliseconds, and the result. */
function timed(run, repeats = REPEATS) {
  let best = Infinity
  let result
  for (let i = 0; i < repeats; i++) {
    const from = process.cpuUsage()
    result = run()
    const used = process.cpuUsage(from)
    best = Math.min(best, (used.user + used.system) / 1000)
  }
  return { ms: best, result }
}

export function sensitivityTimes(say) {
  const network = compileNetwork(findMechanism(MECHANISM, facts.mechanisms(), facts.mechanismDefaults()).value, {
    kind: 'held',
    temperatureK: 298.15,
  })
  const y0 = new Float64Array(network.size)
  placeStart(network, { dynamic: START, held: START, raised: [] }, y0)
  const names = network.constantNames
  const tolerances = (relative) => ({ relative, absolute: relative * 1e-9 })
  const events = [passage(network, EVENT, { I2: 1 }, LEVEL, 'rising')]
  const forward = (relative, method, extra = {}, some = names) => {
    const watched = extra.keep === 'end' ? {} : { events }
    const variations = some.map(varyConstant)
    return networkSensitivities(
      network,
      { fromS: 0, toS: UNTIL_S, y0, variations, tolerances: tolerances(relative), ...watched, ...extra },
      method,
    )
  }
  const plain = (relative, method, extra = {}) => {
    const integrator = createIntegrator(network, method)
    return () =>
      integrator.run({ fromS: 0, toS: UNTIL_S, y0, tolerances: tolerances(relative), invariants: network.conserved, keep: 'end', ...extra })
  }

  say(`${MECHANISM}, ${network.size} states, ${UNTIL_S} s`)
  say('end state by 20 constants                  ms   steps  of a plain run')
  for (const method of ['rodas4', 'rodas5p', 'radau']) {
    const bare = timed(plain(1e-4, method), 4 * REPEATS)
    const line = (what, { ms, result }) => {
      const { steps, rejected } = (result.solution ?? result).statistics
      say(
        `${what.padEnd(36)} ${ms.toFixed(2).padStart(8)} ${String(steps + rejected).padStart(7)} ${(ms / bare.ms).toFixed(1).padStart(9)}`,
      )
    }
    line(`${method} alone`, bare)
    const some = names.slice(0, 20)
    line(
      '  staggered',
      timed(() => forward(1e-4, method, { keep: 'end' }, some)),
    )
    line(
      '  staggered, ten times looser',
      timed(() => forward(1e-4, method, { keep: 'end', looseness: 10 }, some)),
    )
    if (method !== 'radau')
      line(
        '  differentiated steps',
        timed(() => forward(1e-4, method, { keep: 'end', scheme: 'differentiated' }, some), 1),
      )
  }

  const truth = forward(1e-8, 'rodas5p', { mostBytes: 2 ** 31 }).events
  const chosen = [0, truth.length - 1]
  const report = (what, ms, powerOf) => {
    const worst = chosen.map((e) =>
      Math.max(
        ...names.map((_, k) => {
          const power = truth[e].timeByParameter[k] / truth[e].timeS
          return Math.abs(powerOf(e, k) - power) / Math.max(Math.abs(power), LEAST_POWER)
        }),
      ),
    )
    say(`${what.padEnd(36)} ${ms.toFixed(0).padStart(6)}  ${worst.map((x) => x.toExponential(1)).join('  ')}`)
  }
  say('')
  say(`d ln t/d ln k of ${names.length} constants      ms  worst error at passage 1 and ${truth.length}`)
  for (const [relative, looseness] of [
    [1e-4, 1],
    [1e-4, 10],
    [1e-5, 10],
  ]) {
    const { ms, result } = timed(() => forward(relative, 'rodas5p', { looseness }))
    report(`forward, ${relative}, looseness ${looseness}`, ms, (e, k) => result.events[e].timeByParameter[k] / result.events[e].timeS)
  }
  for (const [relative, width] of [
    [1e-4, 0.05],
    [1e-5, 0.005],
  ]) {
    const run = plain(relative, relative < 1e-4 ? 'rodas5p' : 'rodas4', { events, keep: 'dense' })
    const { ms, result } = timed(() =>
      names.map((name) => {
        const at = (factor) => {
          network.scaleConstant(name, factor)
          return run().events.map((event) => event.timeS)
        }
        const [high, low] = [at(1 + width), at(1 - width)]
        network.scaleConstant(name, 1)
        return high.map((t, e) => Math.log(t / low[e]) / Math.log((1 + width) / (1 - width)))
      }),
    )
    report(`differences, ${relative}, ±${100 * width} %`, ms, (e, k) => result[k][e])
  }
}
