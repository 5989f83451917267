/**
 * SBML text -> ExchangeModel. Reads Level 2 Version 4 to Level 3 Version 2 core. What the engine cannot express is a
 * problem that names it; what has no bearing on the numbers (notes, drawings) is named in a warning. Nothing is dropped
 * in silence.
 */
import { attributeOf, elementsOf, readXml, type XmlElement } from '@beakertide/basis/text'
import { done, type Outcome, place, type Problem, refuse } from '@beakertide/basis/problems'
import type { ExchangeModel } from './exchange-model.ts'
import { readModel } from './read-model.ts'

/** Namespaces of the core that are read, with level and version. */
const coreNamespaces: Readonly<Record<string, readonly [number, number]>> = {
  'http://www.sbml.org/sbml/level2/version4': [2, 4],
  'http://www.sbml.org/sbml/level2/version5': [2, 5],
  'http://www.sbml.org/sbml/level3/version1/core': [3, 1],
  'http://www.sbml.org/sbml/level3/version2/core': [3, 2],
}
export const LEVEL_3_VERSION_2 = 'http://www.sbml.org/sbml/level3/version2/core'

/** Packages that a model declares as needed to understand it. */
function packageProblems(root: XmlElement): readonly Problem[] {
  return root.attributes.flatMap((a): readonly Problem[] => {
    if (a.name !== 'required' || a.namespace === '') return []
    const short = /level3\/version\d+\/([a-z]+)/.exec(a.namespace)?.[1] ?? a.namespace
    if (a.value !== 'true' && a.value !== '1') return []
    return [
      {
        code: 'mechanism/exchange-package',
        where: place(root.span),
        what: `the model needs the package "${short}", which changes its mathematics and is not read here`,
        todo: 'export the model as plain core (flattened), without packages',
        span: root.span,
      },
    ]
  })
}

/** Reads a model. Bad text gives problems, each with its place; never throws for what stands in the text. */
export function readExchange(text: string, file: string): Outcome<ExchangeModel> {
  const xml = readXml(text, file)
  if (!xml.ok) return xml
  const root = xml.value
  const [level, version] = coreNamespaces[root.namespace] ?? [0, 0]
  if (root.name !== 'sbml' || level === 0) {
    const met = root.name === 'sbml' ? `SBML in the namespace "${root.namespace}"` : `the root element is "${root.name}"`
    return refuse({
      code: 'mechanism/exchange-version',
      where: place(root.span),
      what: `${met}; read are SBML Level 2 Version 4 and 5, Level 3 Version 1 and 2`,
      todo: 'convert the file to Level 3 Version 2',
      span: root.span,
    })
  }
  const problems: Problem[] = [...packageProblems(root)]
  for (const [attribute, wanted] of [
    ['level', level],
    ['version', version],
  ] as const) {
    const met = attributeOf(root, attribute)
    if (met === undefined || Number(met) === wanted) continue
    problems.push({
      code: 'mechanism/exchange-version',
      where: place(root.span),
      what: `${attribute}="${met}" does not fit the namespace, which says ${wanted}`,
      todo: 'correct one of the two',
      span: root.span,
    })
  }
  const model = elementsOf(root).find((e) => e.name === 'model' && e.namespace === root.namespace)
  if (!model) {
    problems.push({
      code: 'mechanism/exchange-empty',
      where: place(root.span),
      what: 'the file holds no model',
      todo: 'give a file with a "model" element',
      span: root.span,
    })
    return refuse(...problems)
  }
  const read = readModel(model, { file, level, version, namespace: root.namespace })
  problems.push(...read.problems)
  return problems.length > 0 ? refuse(...problems) : done(read.model, read.warnings)
}
