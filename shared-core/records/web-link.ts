/**
 * A typed link that may be handed to a browser: http or https, with a host, without a name or password in it and without
 * blanks or signs that no address is written with.
 * @returns the link as it is opened, or null when it is none ("binder 3, page 12")
 */
export function webLink(text: string): string | null {
  const typed = text.trim()
  if (typed.length > 1000) return null
  const found = /^(https?):\/\/([^\s/?#@\\"<>^`{|}]+)([/?#][^\s\\"<>^`{|}]*)?$/iu.exec(typed)
  if (!found) return null
  const [, scheme = '', host = '', rest = ''] = found
  // anything that prints nothing could hide where it leads
  if (/[\p{Cc}\p{Cf}]/u.test(typed)) return null
  return /^(\[[0-9a-f:.]+\]|[\p{L}\p{N}.-]+)(:\d{1,5})?$/iu.test(host)
    ? `${scheme.toLowerCase()}://${host}${rest}`
    : null
}

/** "makers.example" of a link, to be read before it is opened. */
export const hostOfLink = (link: string): string => /^https?:\/\/([^/?#]+)/iu.exec(link)?.[1] ?? link

/** Why a link was not opened. */
export const noWebLink = {
  code: 'link/not-web',
  message: 'This is no link to a web page.',
  remedy: 'A link begins with https:// and has no blanks in it.',
}
