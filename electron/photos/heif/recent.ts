import { stat } from 'node:fs/promises'
import type { HeifPixels } from './task.ts'

const keptForMs = 10_000

type Recent = { key: string; picture: Promise<HeifPixels> }
let recent: Recent | null = null
let timer: NodeJS.Timeout | null = null

/**
 * Decodes a picture, or takes the one decoded last: thumbnail, preview, cut-outs and reading of one photo follow upon each
 * other within seconds. A file with another time or size is another picture.
 * @param kind  what else tells two decodings of one file apart
 */
export async function decodedRecently(
  path: string,
  kind: string,
  decode: () => Promise<HeifPixels>,
): Promise<HeifPixels> {
  const file = await stat(path)
  const key = `${path} ${file.mtimeMs} ${file.size} ${kind}`
  if (recent?.key !== key) {
    const mine: Recent = { key, picture: decode() }
    recent = mine
    mine.picture.catch(() => {
      if (recent === mine) recent = null
    })
  }
  const { picture } = recent
  if (timer) clearTimeout(timer)
  timer = setTimeout(() => {
    recent = null
    timer = null
  }, keptForMs)
  timer.unref()
  return picture
}
