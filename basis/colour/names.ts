import { oklabFromXyz } from './gamut.ts'
import { type Lab, xyzFromLab } from './lab.ts'

/**
 * The words for the colour of a liquid against white. Few, so that neighbours differ at a glance.
 * All bounds below are our own choice, no source: set so that solutions of known colour get the word the trade uses.
 * They are bounds in Oklab (lightness 0..1, chroma, hue in degrees), where one hue keeps one word from pale to dark.
 */
export const colourWords = [
  'colourless',
  'pale grey',
  'grey',
  'black',
  'pale yellow',
  'yellow',
  'amber',
  'pale orange',
  'orange',
  'brown',
  'dark brown',
  'pale pink',
  'pink',
  'red',
  'dark red',
  'pale violet',
  'violet',
  'dark violet',
  'pale blue',
  'blue',
  'dark blue',
  'blue-black',
  'pale blue-green',
  'blue-green',
  'pale green',
  'green',
  'dark green',
] as const
export type ColourWord = (typeof colourWords)[number]

/** Where each hue family begins, degrees, ascending; red begins again past violet. */
const FAMILIES = [
  { from: 0, name: 'red' },
  { from: 34, name: 'orange' },
  { from: 66, name: 'amber' },
  { from: 94, name: 'yellow' },
  { from: 122, name: 'green' },
  { from: 182, name: 'blue-green' },
  { from: 204, name: 'blue' },
  { from: 285, name: 'violet' },
  { from: 348, name: 'red' },
] as const
type Family = (typeof FAMILIES)[number]['name']

/** Below this chroma a light liquid passes for colourless, a darker one for grey: about 5 ΔE₀₀ from white. */
const GREY_CHROMA = 0.017
const COLOURLESS_LIGHTNESS = 0.93
/** A colour is pale when it is lighter than this and weaker than the chroma below. */
const PALE_LIGHTNESS = 0.8
const PALE_CHROMA = 0.11
/** Pinks are pale reds already: only a tinge is a pale pink. */
const PALE_PINK_CHROMA = 0.06
/** Red lighter than this is pink; violet towards red likewise, a little later. */
const PINK_LIGHTNESS = 0.7
const PINK_VIOLET = { lightness: 0.78, fromHue: 310 }
/** Orange, amber and yellow darker than this are brown; so is a dull red past BROWN_RED hue. */
const BROWN_LIGHTNESS = 0.6
/** … or, when dull, already below this lightness. */
const DULL = { lightness: PALE_LIGHTNESS, chroma: 0.125 }
const BROWN_RED = { fromHue: 26, underChroma: 0.14 }
const DARK_LIGHTNESS: Readonly<Record<Family, number>> = {
  red: 0.42,
  orange: 0.36,
  amber: 0.36,
  yellow: 0.36,
  green: 0.45,
  'blue-green': 0.45,
  blue: 0.45,
  violet: 0.44,
}
/** Blue or bluish violet darker than this: the colour of iodine with much starch. */
const BLUE_BLACK = { lightness: 0.27, fromHue: 204, toHue: 305, overChroma: 0.04 }
const BLACK_LIGHTNESS = 0.15

/** Chroma (0 to about 0.37) and hue (degrees) in Oklab: of one dye from faint to nearly black, blues too, the hue hardly moves. */
export function steadyHue(lab: Lab): { readonly chroma: number; readonly hueDegrees: number } {
  const [, a, b] = oklabFromXyz(xyzFromLab(lab))
  return { chroma: Math.hypot(a, b), hueDegrees: ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360 }
}

/** The word for a colour given as Lab (D65). The same colour always gets the same word; every colour gets one. */
export function colourName(lab: Lab): ColourWord {
  const [lightness, a, b] = oklabFromXyz(xyzFromLab(lab))
  const chroma = Math.hypot(a, b)
  const hue = ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360
  if (chroma < GREY_CHROMA) return greyWord(lightness)
  if (lightness < BLUE_BLACK.lightness && hue >= BLUE_BLACK.fromHue && hue < BLUE_BLACK.toHue) {
    return chroma >= BLUE_BLACK.overChroma ? 'blue-black' : 'black'
  }
  if (lightness < BLACK_LIGHTNESS) return 'black'
  return hueWord(familyOf(hue), lightness, chroma, hue)
}

function greyWord(lightness: number): ColourWord {
  if (lightness >= COLOURLESS_LIGHTNESS) return 'colourless'
  if (lightness >= PALE_LIGHTNESS) return 'pale grey'
  return lightness >= BLUE_BLACK.lightness ? 'grey' : 'black'
}

function familyOf(hue: number): Family {
  return FAMILIES.findLast((family) => hue >= family.from)?.name ?? 'red'
}

function hueWord(family: Family, lightness: number, chroma: number, hue: number): ColourWord {
  const isPale = lightness >= PALE_LIGHTNESS && chroma < PALE_CHROMA
  const isDark = lightness < DARK_LIGHTNESS[family]
  switch (family) {
    case 'red':
      if (lightness >= PINK_LIGHTNESS) return chroma < PALE_PINK_CHROMA ? 'pale pink' : 'pink'
      if (lightness < BROWN_LIGHTNESS && hue >= BROWN_RED.fromHue && hue < 180 && chroma < BROWN_RED.underChroma) {
        return isDark ? 'dark brown' : 'brown'
      }
      return isDark ? 'dark red' : 'red'
    case 'orange':
    case 'amber':
    case 'yellow':
      if (isPale) return family === 'orange' ? 'pale orange' : 'pale yellow'
      if (lightness < BROWN_LIGHTNESS || (lightness < DULL.lightness && chroma < DULL.chroma)) return isDark ? 'dark brown' : 'brown'
      return family
    case 'violet':
      if (hue >= PINK_VIOLET.fromHue && lightness >= PINK_VIOLET.lightness) return chroma < PALE_PINK_CHROMA ? 'pale pink' : 'pink'
      if (isPale) return 'pale violet'
      return isDark ? 'dark violet' : 'violet'
    case 'blue':
      if (isPale) return 'pale blue'
      return isDark ? 'dark blue' : 'blue'
    case 'blue-green':
      if (isPale) return 'pale blue-green'
      return isDark ? 'dark green' : 'blue-green'
    default:
      if (isPale) return 'pale green'
      return isDark ? 'dark green' : 'green'
  }
}
