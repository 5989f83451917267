#!/usr/bin/env node
// Who may import whom. Rooms of core stand in a fixed order and import only rooms above them, through
// their index; basis knows nothing of core; core knows nothing of data or of the doors; no cycles anywhere.
// Exit 1 with every breach listed, or when fewer modules were read than the house surely has
// (a checker that silently reads nothing would always be green).
import { cruise } from 'dependency-cruiser'

const ROOMS = ['matter', 'makeup', 'mixture', 'cautions', 'mechanism', 'rehearsal', 'record', 'clearing', 'papers']
const FEWEST_MODULES = 60

const sources = (folder) => `^${folder}/(?!dist/).*\\.ts$`
const roomRules = ROOMS.map((room, i) => ({
  name: `${room}-imports-only-above`,
  severity: 'error',
  from: { path: `^core/${room}/`, pathNot: '\\.test\\.ts$' },
  to: { path: `^core/(${ROOMS.slice(i + 1).join('|') || 'none-below'})/` },
}))
const faceRules = ROOMS.map((room) => ({
  name: `${room}-through-its-index`,
  severity: 'error',
  from: { path: '^core/', pathNot: [`^core/${room}/`, '\\.test\\.ts$'] },
  to: { path: `^core/${room}/`, pathNot: `^core/${room}/index\\.ts$` },
}))
const rules = [
  { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
  {
    name: 'own-index-not-used-inside',
    severity: 'error',
    from: { path: '^core/([^/]+)/', pathNot: '\\.test\\.ts$' },
    to: { path: '^core/$1/index\\.ts$' },
  },
  {
    name: 'basis-is-the-floor',
    severity: 'error',
    from: { path: '^basis/', pathNot: '\\.test\\.ts$' },
    to: { path: '^(core|data|demonstration|apps|checks|examples)/' },
  },
  {
    name: 'core-is-pure',
    severity: 'error',
    from: { path: '^core/', pathNot: '\\.test\\.ts$' },
    to: { path: '^(data|demonstration|apps|checks|examples)/' },
  },
  {
    name: 'no-node-below-the-doors',
    severity: 'error',
    from: { path: '^(basis|core|demonstration)/', pathNot: '\\.test\\.ts$' },
    to: { dependencyTypes: ['core'] },
  },
  {
    name: 'core-has-no-packages',
    severity: 'error',
    from: { path: '^core/', pathNot: '\\.test\\.ts$' },
    to: { path: 'node_modules', pathNot: '^(node_modules/@beakertide|basis/)' },
  },
  {
    name: 'demonstration-knows-no-door',
    severity: 'error',
    from: { path: '^demonstration/', pathNot: '\\.test\\.ts$' },
    to: { path: '^(data|apps)/' },
  },
  { name: 'resolves', severity: 'error', from: {}, to: { couldNotResolve: true } },
  ...roomRules,
  ...faceRules,
]

const { output } = await cruise(['basis', 'core', 'data', 'demonstration', 'apps'], {
  ruleSet: { forbidden: rules },
  validate: true,
  tsPreCompilationDeps: true,
  includeOnly: undefined,
  exclude: { path: '(^|/)(dist|coverage)/' },
  doNotFollow: { path: 'node_modules/(?!@beakertide)' },
  enhancedResolveOptions: {
    exportsFields: ['exports'],
    conditionNames: ['source', 'import', 'node', 'default'],
    extensions: ['.ts', '.js', '.mjs'],
  },
  combinedDependencies: true,
})
const own = output.modules.filter((m) =>
  new RegExp(`${['basis', 'core', 'data', 'demonstration', 'apps'].map(sources).join('|')}`).test(m.source),
)
const breaches = output.summary.violations
for (const b of breaches) console.log(`${b.rule.name}: ${b.from} -> ${b.to}`)
console.log(`rooms: ${own.length} modules read, ${breaches.length} breaches`)
if (own.length < FEWEST_MODULES) {
  console.log(`rooms: fewer than ${FEWEST_MODULES} modules were read; the checker itself is broken`)
  process.exit(1)
}
process.exit(breaches.length > 0 ? 1 : 0)
