import { openOrdinary } from '../disk/ordinary-file.ts'

/** A note of ours takes a few hundred bytes; a folder may come from a stranger. */
const mostBytes = 1 << 20

/** Reads a small file of JSON. @throws where it is none, is too large, or is no file at all */
export async function readSmallJson(path: string): Promise<unknown> {
  const file = await openOrdinary(path)
  try {
    if ((await file.stat()).size > mostBytes) throw new Error(`${path} is too large for a note.`)
    return JSON.parse(await file.readFile('utf8'))
  } finally {
    await file.close()
  }
}
