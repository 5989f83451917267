/** Choices of this browser: light and language. They are small and must be there before the first picture, so they stand in localStorage. */
import { createSignal } from '../framework.ts'
import { chooseLanguage, type Language, languageOfBrowser } from '../words/index.ts'

export type Light = 'auto' | 'light' | 'dark' | 'dim'
export const lights: readonly Light[] = ['auto', 'light', 'dark', 'dim']

function kept(name: string): string | null {
  try {
    return localStorage.getItem(`beakertide.${name}`)
  } catch {
    return null
  }
}
function keep(name: string, value: string): void {
  try {
    localStorage.setItem(`beakertide.${name}`, value)
  } catch {
    // A private window keeps nothing; the choice holds until it is closed.
  }
}

const [light, setLight] = createSignal<Light>('auto')
export { light }

export function chooseLight(wanted: Light): void {
  setLight(wanted)
  keep('light', wanted)
  if (wanted === 'auto') delete document.documentElement.dataset['theme']
  else document.documentElement.dataset['theme'] = wanted
}

export function keepLanguage(wanted: Language): void {
  keep('language', wanted)
  void chooseLanguage(wanted)
}

/** Before the first picture. */
export async function useKeptSettings(): Promise<void> {
  const before = kept('light')
  chooseLight(lights.find((l) => l === before) ?? 'auto')
  const language = kept('language')
  await chooseLanguage(language === 'en' || language === 'de' ? language : languageOfBrowser())
}
