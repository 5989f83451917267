/**
 * Names of lights a hall has -> CIE illuminant of the table in data/tables/cie1931_2deg.csv (its column without "spd_").
 * The illuminants and their letters are those of CIE 15:2018; which lamp they stand for is common practice.
 */
export const lights: Readonly<Record<string, string>> = {
  daylight: 'd65',
  'warm daylight': 'd50',
  'filament lamp': 'a',
  'warm led': 'led_b1',
  'soft led': 'led_b2',
  'neutral led': 'led_b3',
  'cool led': 'led_b4',
  'cold led': 'led_b5',
  'coloured led mix': 'led_rgb1',
  'fluorescent tube': 'fl2',
  'three-band tube': 'fl11',
  d65: 'd65',
  d50: 'd50',
  a: 'a',
  led_b1: 'led_b1',
  led_b2: 'led_b2',
  led_b3: 'led_b3',
  led_b4: 'led_b4',
  led_b5: 'led_b5',
  led_bh1: 'led_bh1',
  led_rgb1: 'led_rgb1',
  led_v1: 'led_v1',
  led_v2: 'led_v2',
  fl2: 'fl2',
  fl11: 'fl11',
}
