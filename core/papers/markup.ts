const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' }

/**
 * Text without the characters that no reader sees but that steer a terminal, a page or the direction of writing: control
 * characters (line breaks and tabs become spaces), direction overrides, lone surrogates.
 */
export function visibleText(text: string): string {
  return text
    .replace(/[\t\n\r\u2028\u2029]+/g, ' ')
    .replace(/[\p{Cc}\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/gu, '')
    .replace(/\p{Surrogate}/gu, '\ufffd')
}

/** Text made safe for HTML and SVG, in content and in quoted attributes. */
export function escapeMarkup(text: string): string {
  return visibleText(text).replace(/[&<>"']/g, (c) => ENTITIES[c] ?? c)
}
