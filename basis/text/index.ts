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
  place,
} from './yaml-tree.ts'
