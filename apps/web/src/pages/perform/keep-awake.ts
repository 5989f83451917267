/** The screen stays on while the stage is open, where the browser can do that. */
import { type Accessor, createSignal, onCleanup, onMount } from '../../framework.ts'

/** True: it stays on; false: this browser cannot; null: not known yet. */
export function keepAwake(): Accessor<boolean | null> {
  const [isAwake, setAwake] = createSignal<boolean | null>(null)
  let lock: WakeLockSentinel | null = null
  let isOver = false
  // The lock is lost whenever the page is hidden, so it is asked for again when it comes back.
  const ask = async (): Promise<void> => {
    if (document.visibilityState !== 'visible' || !('wakeLock' in navigator)) {
      if (!('wakeLock' in navigator)) setAwake(false)
      return
    }
    try {
      const got = await navigator.wakeLock.request('screen')
      if (isOver) void got.release()
      else {
        lock = got
        setAwake(true)
      }
    } catch {
      // Refused (low battery, or a policy): the person must know.
      setAwake(false)
    }
  }
  const again = (): void => void ask()
  onMount(() => {
    void ask()
    document.addEventListener('visibilitychange', again)
  })
  onCleanup(() => {
    isOver = true
    document.removeEventListener('visibilitychange', again)
    void lock?.release()
  })
  return isAwake
}
