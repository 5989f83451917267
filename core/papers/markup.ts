const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' }

/** Text made safe for HTML and SVG, in content and in quoted attributes; control characters that markup forbids are dropped. */
export function escapeMarkup(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters XML 1.0 forbids
  return text.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f]/g, '').replace(/[&<>"']/g, (c) => ENTITIES[c] ?? c)
}
