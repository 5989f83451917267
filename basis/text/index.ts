export {
  type Tree,
  type TreeMap,
  type TreeList,
  type TreeScalar,
  type TreeEntry,
  type TreeLimits,
  treeLimits,
  readTree,
  entry,
} from './yaml-tree.ts'
export { place } from '../problems/index.ts'
