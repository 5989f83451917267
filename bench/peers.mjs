// Native solvers run beside ours, when a folder with their drivers is given: built in a copy under the system's temporary folder if the folder holds no build.
import { execFileSync, spawnSync } from 'node:child_process'
import { cpSync, existsSync, mkdirSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** Peers in the order of the table. CVODE stands for its better half. */
const drivers = {
  'cvode-dense': { program: 'cvode_peer', method: 'cvode-dense' },
  'cvode-klu': { program: 'cvode_peer', method: 'cvode-klu' },
  'desolve-lsode': { program: 'desolve', method: 'lsode' },
  'desolve-radau': { program: 'desolve', method: 'radau' },
  'gsl-msbdf': { program: 'gsl_peer', method: 'gsl-msbdf' },
  'gsl-bsimp': { program: 'gsl_peer', method: 'gsl-bsimp' },
}
/** A solve that needs longer than this is cut off, seconds. */
const LIMIT_S = 60

const works = (program) => spawnSync(program, ['--version'], { stdio: 'ignore' }).status === 0

/** { names, measure(file, name, relative, budgetS) → { ms, digits } | null }, or { names: [], why }. */
export function nativePeers(folder, files) {
  if (folder === '') return { names: [], why: 'BEAKERTIDE_PEERS names no folder with their drivers' }
  if (!existsSync(join(folder, 'Makefile'))) return { names: [], why: 'the folder has no drivers of native solvers' }
  let place = folder
  if (!existsSync(join(folder, 'build'))) {
    place = join(tmpdir(), 'beakertide-peers')
    mkdirSync(place, { recursive: true })
    cpSync(folder, place, { recursive: true })
  }
  const wanted = ['build/cvode_peer', 'build/gsl_peer', ...files.map((file) => `build/${file}.so`)]
  if (!wanted.every((file) => existsSync(join(place, file)))) {
    if (!works('make') || !works('gcc')) return { names: [], why: 'no make or gcc here' }
    try {
      execFileSync('make', ['-s', ...wanted], { cwd: place, stdio: ['ignore', 'ignore', 'pipe'] })
    } catch (error) {
      return { names: [], why: `they could not be built: ${String(error.stderr ?? error).split('\n')[0]}` }
    }
  }
  const names = Object.keys(drivers).filter((name) => drivers[name].program !== 'desolve' || works('Rscript'))
  return {
    names,
    measure(file, name, relative, budgetS) {
      const { program, method } = drivers[name]
      const words =
        program === 'desolve'
          ? ['Rscript', 'drivers/desolve_peer.R', `build/${file}.so`, `problems/${file}.json`, method, String(relative), String(budgetS)]
          : [`build/${program}`, `build/${file}.so`, method, String(relative), String(budgetS)]
      const run = spawnSync(words[0], words.slice(1), {
        cwd: place,
        encoding: 'utf8',
        timeout: LIMIT_S * 1000,
        // The linear algebra here is far too small for more than one thread.
        env: { ...process.env, OMP_NUM_THREADS: '1', OPENBLAS_NUM_THREADS: '1' },
      })
      try {
        const row = JSON.parse(run.stdout.trim().split('\n').at(-1))
        return row.flag || row.scd === null ? null : { ms: 1000 * row.cpu_s, digits: row.scd }
      } catch {
        return null
      }
    },
  }
}
