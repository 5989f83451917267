/** Folds that must stand open on paper: what is folded away would not be printed. */
import { onCleanup } from '../framework.ts'

/** Opens the folds when anything is printed, by whatever button, and puts them back after it. To be called inside a component. */
export function openForPrint(folds: () => readonly (HTMLDetailsElement | undefined)[]): void {
  let opened: readonly HTMLDetailsElement[] = []
  const open = (): void => {
    opened = [...opened, ...folds().filter((fold) => fold !== undefined && !fold.open)] as readonly HTMLDetailsElement[]
    for (const fold of opened) fold.open = true
  }
  const close = (): void => {
    for (const fold of opened) fold.open = false
    opened = []
  }
  addEventListener('beforeprint', open)
  addEventListener('afterprint', close)
  onCleanup(() => {
    removeEventListener('beforeprint', open)
    removeEventListener('afterprint', close)
  })
}
