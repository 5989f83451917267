export {
  type Tree,
  type TreeMap,
  type TreeList,
  type TreeScalar,
  type TreeEntry,
  type TreeLimits,
  treeLimits,
  readTree,
  readTreeInPart,
  type TreeInPart,
  entry,
} from './yaml-tree.ts'
export {
  type XmlAttribute,
  type XmlElement,
  type XmlLimits,
  type XmlText,
  attributeOf,
  elementsOf,
  readXml,
  textOf,
  xmlLimits,
} from './xml-tree.ts'
export { type XmlPart, escapeXml, part, writeXml } from './xml-write.ts'
export { editYaml, type YamlEdit, type YamlEditOptions, type YamlRenaming } from './yaml-edit.ts'
export type { YamlPath } from './yaml-places.ts'
export { writeAfterKey, writeBlock, writeInline, writeScalar, type YamlValue } from './yaml-write.ts'
export { place } from '../problems/index.ts'
