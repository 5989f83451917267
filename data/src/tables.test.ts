import { readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { rows } from './index.ts'

const folder = fileURLToPath(new URL('../', import.meta.url))
const tablesIn = (under: string): readonly string[] =>
  readdirSync(`${folder}${under}`)
    .filter((file) => file.endsWith('.csv'))
    .map((file) => `${under}${file.slice(0, -'.csv'.length)}`)

const all = ['', 'tables/', 'hazards/'].flatMap(tablesIn)

/** Columns in which a row says how its fact came to us. */
const seenColumns = ['read_or_memory', 'status', 'seen']
const seenWords = /^(read|memory|computed|calculated|mixed|assumed|constants memory|common practice|practice|as there$|as the cited row$)/i
/** Lists of our own that only group names; they state no fact of the world. */
const ownLists = ['hazards/danger_groups']
const sourceColumns = ['source', 'source_key', 'sources', 'basis', 'note', 'numbering', 'where_stored', 'arithmetic']

describe.each(all)('data/%s.csv', (name) => {
  const table = rows(name)
  it('has rows, and every row has every column', () => {
    expect(table.length).toBeGreaterThan(0)
    const columns = Object.keys(table[0]!)
    for (const row of table) expect(Object.keys(row)).toEqual(columns)
  })
  it('says of every row whether it was read, computed or remembered', () => {
    if (ownLists.includes(name)) return
    for (const [i, row] of table.entries()) {
      const said = seenColumns.map((column) => row[column] ?? '').find((text) => text !== '') ?? ''
      expect(said, `row ${i + 2}`).toMatch(seenWords)
    }
  })
  it('says of every row where it comes from', () => {
    const columns = sourceColumns.filter((column) => column in table[0]!)
    expect(columns.length).toBeGreaterThan(0)
    const mostly = table.filter((row) => columns.some((column) => row[column] !== ''))
    // The strict tables have a source in each row; hazard tables may lean on a general remark in their notes.
    if (!name.startsWith('hazards/')) expect(mostly.length).toBe(table.length)
  })
  it('holds no control characters and no stray quotes at the ends of a cell', () => {
    for (const row of table) {
      for (const text of Object.values(row)) {
        // oxlint-disable-next-line no-control-regex -- that is what is looked for
        expect(text).not.toMatch(/[\u0000-\u0008\u000b-\u001f]|^".*"$/)
      }
    }
  })
})

/** Columns that must hold plain finite numbers in each row; a trailing "?" marks those that may be empty. */
const numeric: Readonly<Record<string, readonly string[]>> = {
  species: ['charge'],
  'tables/substances': ['molar_mass_g_per_mol?', 'solubility_g_per_100g_water?', 'solubility_temperature_c?'],
  'tables/solution_density': ['temperature_c', 'mass_percent', 'density_g_per_ml', 'molarity_mol_per_l', 'molality_mol_per_kg_water?'],
  'tables/solubility_vs_temperature': ['temperature_c', 'solubility_g_per_100g_water', 'mass_percent?'],
  'tables/thermochemistry': ['value', 'uncertainty?', 'temperature_k'],
  'tables/atomic_weights': ['z', 'abridged_value?', 'abridged_uncertainty?', 'interval_low?', 'interval_high?'],
  'tables/cie1931_2deg': ['wavelength_nm', 'xbar', 'ybar', 'zbar', 'spd_d65', 'spd_a'],
  'tables/absorbers_spectra': ['wavelength_nm', 'molar_absorptivity_l_per_mol_cm'],
  'tables/buffer_standards': ['ph'],
  'hazards/thermo_inputs': ['dfH_298_kJ_per_mol'],
}
describe.each(Object.entries(numeric))('numbers of data/%s.csv', (name, columns) => {
  it.each(columns)('%s', (stated) => {
    const column = stated.replace('?', '')
    for (const [i, row] of rows(name).entries()) {
      const text = row[column]!
      if (text === '' && stated.endsWith('?')) continue
      expect(text, `row ${i + 2}`).toMatch(/^[+-]?\d+(\.\d+)?(e[+-]?\d+)?$/i)
    }
  })
})

/** The last digit of a CAS number is the sum of the others, each times its place from the right, modulo 10 (CAS, "Check Digit Verification", memory). */
function isCasNumber(text: string): boolean {
  const found = /^(\d{2,7})-(\d{2})-(\d)$/.exec(text)
  if (!found) return false
  const digits = (found[1]! + found[2]!).split('').reverse().map(Number)
  return digits.reduce((sum, digit, i) => sum + digit * (i + 1), 0) % 10 === Number(found[3])
}

describe('CAS numbers', () => {
  it('the check itself: iodine, and iodine with two digits swapped', () => {
    expect(isCasNumber('7553-56-2')).toBe(true)
    expect(isCasNumber('7535-56-2')).toBe(false)
  })
  it.each([
    ['tables/substances', 'cas_number'],
    ['hazards/ghs_substances', 'cas'],
  ])('%s', (name, column) => {
    for (const row of rows(name)) {
      const text = row[column]!
      if (/^\d/.test(text)) expect(isCasNumber(text), `${row['name']}: ${text}`).toBe(true)
    }
  })
  it('no two substances share one', () => {
    const numbers = rows('tables/substances').map((row) => row['cas_number']!)
    const stated = numbers.filter((n) => n !== '')
    expect(new Set(stated).size).toBe(stated.length)
  })
})

describe('keys stand once', () => {
  it.each([
    ['species', 'id'],
    ['enters_water', 'substance'],
    ['substance_names', 'substance'],
    ['equilibrium_reactions', 'id'],
    ['tables/substances', 'name'],
    ['tables/atomic_weights', 'symbol'],
    ['hazards/ghs_substances', 'id'],
    ['hazards/sources', 'key'],
    ['hazards/incompatibilities', 'id'],
  ])('%s by %s', (name, column) => {
    const keys = rows(name).map((row) => row[column]!)
    expect(keys.filter((key, i) => keys.indexOf(key) !== i)).toEqual([])
  })
})
