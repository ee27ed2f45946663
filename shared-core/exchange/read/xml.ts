import { SaxesParser } from 'saxes'
import { Refusal } from '../../contract/refusal.ts'
import { badFile } from '../measured.ts'

/** An element with its local name: prefixes differ from writer to writer. */
export type XmlElement = {
  name: string
  space: string
  attributes: ReadonlyMap<string, string>
  children: XmlElement[]
  /** Its own text, without that of its children. */
  text: string
  line: number
}

const deepest = 40
/** Twenty thousand measurements take eight elements each, several angles some more. */
const mostElements = 300_000
const mostAttributes = 200

/**
 * Reads XML without document types: a file that brings one is refused before anything in it is used, so there are no
 * entities but the five of XML itself and characters by number.
 * @throws Refusal with the line, for whatever is not well formed, too deep or too much
 */
export function readXml(text: string): XmlElement {
  const parser = new SaxesParser({ xmlns: true })
  const open: XmlElement[] = []
  let root: XmlElement | undefined
  let count = 0
  parser.on('error', (error) => {
    throw badFile(
      parser.line,
      `the file is not well-formed XML (${error.message.replace(/^\d+:\d+: /, '').replace(/[.]$/, '')}).`,
    )
  })
  parser.on('doctype', () => {
    throw new Refusal(
      'exchange/bad-file',
      `Line ${parser.line}: the file brings a document type of its own, which no instrument’s file needs. Nothing was taken.`,
      'Take it only if you know where it comes from, and remove the line that begins with <!DOCTYPE in a text editor first.',
    )
  })
  let given = 0
  parser.on('opentagstart', () => {
    given = 0
  })
  parser.on('attribute', () => {
    if (++given > mostAttributes) throw badFile(parser.line, `an element has more than ${mostAttributes} attributes.`)
  })
  parser.on('opentag', (tag) => {
    if (++count > mostElements || open.length >= deepest)
      throw badFile(
        parser.line,
        'the file is nested more deeply, or holds more elements, than any list of measurements.',
      )
    const attributes = new Map(Object.values(tag.attributes).map((one) => [one.local, one.value]))
    const element = { name: tag.local, space: tag.uri, attributes, children: [], text: '', line: parser.line }
    open.at(-1)?.children.push(element)
    root ??= element
    open.push(element)
  })
  const addText = (more: string) => {
    const element = open.at(-1)
    if (element) element.text += more
  }
  parser.on('text', addText)
  parser.on('cdata', addText)
  parser.on('closetag', () => void open.pop())
  parser.write(text).close()
  if (!root) throw badFile(1, 'the file is empty.')
  return root
}

export const childOf = (element: XmlElement | undefined, name: string): XmlElement | undefined =>
  element?.children.find((child) => child.name === name)

/** The element at the end of a path of names. */
export const below = (element: XmlElement | undefined, ...names: readonly string[]): XmlElement | undefined =>
  names.reduce<XmlElement | undefined>(childOf, element)

export const textOf = (element: XmlElement | undefined): string => element?.text.trim() ?? ''

/** Every element of that name, at any depth. */
export function everyIn(element: XmlElement | undefined, name: string): XmlElement[] {
  if (!element) return []
  return element.children.flatMap((child) => [...(child.name === name ? [child] : []), ...everyIn(child, name)])
}
