// Other solvers run beside ours, when a folder with their drivers is given: built in a copy under the system's temporary folder if the folder holds no build.
// Native ones are compiled; those of SciPy run generated Python.
import { execFileSync, spawnSync } from 'node:child_process'
import { cpSync, existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs'
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
  'scipy-odeint': { program: 'scipy', method: 'scipy-odeint' },
  'scipy-LSODA': { program: 'scipy', method: 'scipy-LSODA' },
  'scipy-BDF': { program: 'scipy', method: 'scipy-BDF' },
  'scipy-Radau': { program: 'scipy', method: 'scipy-Radau' },
}
export const isNative = (name) => !name.startsWith('scipy')
/** SciPy stands with the interpreter of the system. */
const PYTHON = '/usr/bin/python3'
/** A solve that needs longer than this is cut off, seconds. */
const LIMIT_S = 60

const works = (program) => spawnSync(program, ['--version'], { stdio: 'ignore' }).status === 0
const hasScipy = () => spawnSync(PYTHON, ['-c', 'import scipy, numpy'], { stdio: 'ignore' }).status === 0

/** A copy that can be built in, refreshed where the original is newer. */
function copyOf(folder) {
  const place = join(tmpdir(), 'beakertide-peers')
  mkdirSync(place, { recursive: true })
  for (const name of readdirSync(folder)) {
    if (name !== 'build') cpSync(join(folder, name), join(place, name), { recursive: true, force: true })
  }
  spawnSync('chmod', ['-R', 'u+w', place])
  return place
}

/** { names, measure(file, name, relative, budgetS) → { ms, digits } | null }, or { names: [], why }. */
export function nativePeers(folder, files) {
  if (folder === '') return { names: [], why: 'BEAKERTIDE_PEERS names no folder with their drivers' }
  if (!existsSync(join(folder, 'Makefile'))) return { names: [], why: 'the folder has no drivers of native solvers' }
  let place = folder
  if (!existsSync(join(folder, 'build'))) {
    place = copyOf(folder)
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
  const able = { desolve: works('Rscript'), scipy: hasScipy() }
  const names = Object.keys(drivers).filter((name) => able[drivers[name].program] ?? true)
  return {
    names,
    place,
    /** Writes a member of a family (`ring`, `net`) as a problem file outside the peers' own folder, with the references beside it; its path. */
    member(family, n) {
      const at = join(tmpdir(), 'beakertide-members')
      mkdirSync(at, { recursive: true })
      cpSync(join(place, 'problems', 'references.json'), join(at, 'references.json'), { force: true })
      const path = join(at, `${family}${n}.json`)
      if (!existsSync(path)) {
        writeFileSync(path, execFileSync('python3', ['tools/make_problems.py', family, String(n)], { cwd: place, maxBuffer: 2 ** 28 }))
      }
      return path
    },
    measure(file, name, relative, budgetS) {
      const { program, method } = drivers[name]
      const words =
        program === 'scipy'
          ? [PYTHON, 'drivers/scipy_peer.py', file, method, String(relative), String(budgetS)]
          : program === 'desolve'
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
        return row.flag || row.scd === null ? null : { ms: 1000 * row.cpu_s, digits: row.scd, steps: row.steps, rejected: row.rejected }
      } catch {
        return null
      }
    },
  }
}
