import { createHash } from 'node:crypto'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { encodingInWords, encodingOf } from '../../../shared-core/exchange/panels-csv/encoding.ts'
import { readTable, type Table, tooLarge } from '../../../shared-core/exchange/panels-csv/table.ts'
import { mostBytes, type NotebookAnswers } from '../../../shared-core/records/notebook.ts'
import { openOrdinary } from '../../rack/disk/ordinary-file.ts'

export type OpenedNotebook = { digest: string; encoding: string; table: Table }

/** The one looked at last: each choice in the sheet asks for it again. */
let last: { key: string; opened: OpenedNotebook } | undefined

/**
 * Reads a table of panels.
 * @returns its rows, and a digest that names the file's content
 * @throws Refusal `notebook/…`
 */
export async function openNotebook(path: string, answers: NotebookAnswers): Promise<OpenedNotebook> {
  const bytes = await readBytes(path)
  const digest = createHash('sha256').update(bytes).digest('hex')
  const { separator, headings } = answers
  const key = `${digest} ${separator} ${headings}`
  if (last?.key === key) return last.opened
  const encoding = encodingOf(bytes)
  const text = new TextDecoder(encoding).decode(bytes)
  const opened = { digest, encoding: encodingInWords[encoding], table: readTable(text, { separator, headings }) }
  last = { key, opened }
  return opened
}

/** Nothing but an ordinary file of a bearable size is read at all. */
async function readBytes(path: string): Promise<Buffer> {
  const file = await openOrdinary(path).catch(unreadable)
  try {
    const facts = await file.stat().catch(unreadable)
    if (facts.size > mostBytes) throw tooLarge()
    const bytes = Buffer.alloc(facts.size + 1)
    let length = 0
    for (;;) {
      // one byte more than its size tells a file that grows
      const { bytesRead } = await file.read(bytes, length, bytes.length - length, length).catch(unreadable)
      if (bytesRead === 0) return bytes.subarray(0, length)
      length += bytesRead
      if (length === bytes.length) return unreadable({ code: 'it changed while it was being read' })
    }
  } finally {
    await file.close()
  }
}

function unreadable(error: { code?: string }): never {
  throw new Refusal(
    'notebook/unreadable',
    `The file could not be read (${error.code ?? 'unknown'}).`,
    'Check that its drive is still connected and that no program is saving it, then choose it again.',
  )
}
