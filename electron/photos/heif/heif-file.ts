import type { PixelBox } from '../../../shared-core/capture/geometry.ts'
import type { Refusal } from '../../../shared-core/contract/refusal.ts'
import { mostPixels } from '../open.ts'
import { refusals } from '../refusals.ts'
import { type Asking, askHeifWorker } from './ask-worker.ts'
import { decodedRecently } from './recent.ts'
import type { HeifAnswer, HeifDescription, HeifFault, HeifPixels, HeifTask } from './task.ts'

/** Looking takes a fraction of a second, decoding about one for ten million pixels; a slow machine takes several times as long. */
const lookingMs = 30_000
const perPixelMs = 3 / 1000

/** A larger picture is decoded, used and let go. */
const mostSharedBytes = 160_000_000

type Size = { width: number; height: number }

/** What an HEIF file says of its main picture. @throws Refusal photo/damaged, too-large, heif-coding */
export async function describeHeif(path: string, signal?: AbortSignal): Promise<HeifDescription> {
  const answer = await done('describe', { what: 'describe', path, mostPixels }, { signal, limitMs: lookingMs })
  return answer.description
}

/**
 * Decodes all of it once, because a file that lacks its end shows only then. The decoder passes over faults inside of
 * a picture without a word: those nobody can tell.
 * @throws Refusal as `describeHeif`
 */
export async function checkHeif(path: string, size: Size, signal?: AbortSignal): Promise<void> {
  await done('check', { what: 'check', path, mostPixels }, { signal, limitMs: decodingMs(size) })
}

type Wanted = { box?: PixelBox | null; eightBits?: boolean; signal?: AbortSignal | undefined }

/**
 * The file's own numbers, upright; see `HeifPixels`. Not to be written to: they may be somebody else's too.
 * @param photo  what `factsOf` said of it
 * @throws Refusal as `describeHeif`; or the signal's reason
 */
export async function decodeHeif(
  path: string,
  photo: Size & { bits: 8 | 16 },
  { box = null, eightBits = false, signal }: Wanted = {},
): Promise<HeifPixels> {
  const few = eightBits || photo.bits === 8
  const decode = async (part: PixelBox | null) => {
    const task: HeifTask = { what: 'decode', path, mostPixels, box: part, eightBits: few }
    return (await done('decode', task, { signal, limitMs: decodingMs(photo) })).pixels
  }
  const byteCount = photo.width * photo.height * (few ? 3 : 6)
  // somebody else may wait for a picture that is shared, and would be stopped too
  if (signal || byteCount > mostSharedBytes) return decode(box)
  const whole = await decodedRecently(path, few ? '8' : 'all', () => decode(null))
  return box ? partOf(whole, box) : whole
}

function partOf({ width, height, data }: HeifPixels, box: PixelBox): HeifPixels {
  if (box.left + box.width > width || box.top + box.height > height) throw refusals.damaged()
  const length = box.width * box.height * 3
  const part = data instanceof Uint16Array ? new Uint16Array(length) : new Uint8Array(length)
  for (let y = 0; y < box.height; y++) {
    const from = ((box.top + y) * width + box.left) * 3
    part.set(data.subarray(from, from + box.width * 3), y * box.width * 3)
  }
  return { width: box.width, height: box.height, data: part }
}

const decodingMs = ({ width, height }: Size) => lookingMs + width * height * perPixelMs

type Done<W extends HeifTask['what']> = Extract<HeifAnswer, { ok: true; what: W }>

async function done<W extends HeifTask['what']>(what: W, task: HeifTask, asking: Asking): Promise<Done<W>> {
  const answer = await askHeifWorker(task, asking)
  if (!answer.ok) throw refused[answer.fault]()
  if (answer.what !== what) throw new Error(`The HEIC decoder was asked to ${what} and did ${answer.what}.`)
  return answer as Done<W>
}

const refused: Record<HeifFault, () => Refusal> = {
  damaged: refusals.damaged,
  'too-large': refusals.tooLarge,
  'other-coding': refusals.heifCoding,
}
