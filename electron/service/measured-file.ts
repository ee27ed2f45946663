import { createHash } from 'node:crypto'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { type MeasuredFile, mostBytes, tooLarge } from '../../shared-core/exchange/measured.ts'
import { readMeasuredFile } from '../../shared-core/exchange/read/read-file.ts'
import { openOrdinary } from '../rack/disk/ordinary-file.ts'

export type OpenedFile = { digest: string; measured: MeasuredFile }

/** The file looked at last: each answer in the sheet asks for it again. */
let last: OpenedFile | undefined

/**
 * Reads a file of an instrument.
 * @returns its content, and a digest that names it
 * @throws Refusal `exchange/…`
 */
export async function openMeasuredFile(path: string): Promise<OpenedFile> {
  const bytes = await readBytes(path)
  const digest = createHash('sha256').update(bytes).digest('hex')
  if (last?.digest !== digest) last = { digest, measured: readMeasuredFile(textOf(bytes)) }
  return last
}

/** Nothing but an ordinary file of a bearable size is read at all. */
async function readBytes(path: string): Promise<Buffer> {
  const file = await openOrdinary(path).catch(unreadable)
  try {
    const facts = await file.stat()
    if (facts.size > mostBytes) throw tooLarge()
    // one byte more than allowed, should the file grow meanwhile
    const bytes = Buffer.alloc(mostBytes + 1 > facts.size + 1 ? facts.size + 1 : mostBytes + 1)
    let length = 0
    while (length < bytes.length) {
      const { bytesRead } = await file.read(bytes, length, bytes.length - length, length).catch(unreadable)
      if (bytesRead === 0) return bytes.subarray(0, length)
      length += bytesRead
    }
    throw new Refusal('exchange/unreadable', 'The file changed while it was being read.', 'Choose it again.')
  } finally {
    await file.close()
  }
}

function unreadable(error: { code?: string }): never {
  throw new Refusal(
    'exchange/unreadable',
    `The file could not be read (${error.code ?? 'unknown'}).`,
    'Check that its drive is still connected and that you may read it, then choose it again.',
  )
}

/**
 * The characters of a file: UTF-8 or UTF-16 by its mark, else by what an XML file says of itself, else UTF-8; where it
 * is not that, the encoding of older Windows programs, in which any bytes are letters.
 */
function textOf(bytes: Buffer): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes)
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes)
  const said = /^\s*<\?xml[^>]{0,200}encoding=["']([\w-]{1,40})["']/.exec(
    bytes.subarray(0, 400).toString('latin1'),
  )?.[1]
  for (const encoding of [said ?? 'utf-8', 'utf-8'])
    try {
      return new TextDecoder(encoding, { fatal: true }).decode(bytes)
    } catch {
      // an encoding that nobody knows, or bytes that are none of its letters
    }
  return new TextDecoder('windows-1252').decode(bytes)
}
