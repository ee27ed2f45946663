import { closeSync, fstatSync, openSync, readSync } from 'node:fs'
import makeLibrary from 'libheif-js/libheif-wasm/libheif-bundle.js'
import type { HeifFault } from './task.ts'

/** Values of `heif_error_code`, `heif_suberror_code`, `heif_colorspace`, `heif_chroma`, `heif_channel` in `heif.h`. */
export const named = {
  error: { unsupportedFiletype: 3, unsupportedFeature: 4, memory: 6, noPlugin: 11 },
  suberror: { securityLimit: 1000, noSuchItem: 2000 },
  rgb: 1,
  /** Colour space and chroma alike: whatever the file has. */
  asIs: 99,
  monochrome: 2,
  interleaved: 10,
  /** Two bytes for each number, the lower first. */
  interleavedDeep: 14,
  interleavedChannel: 10,
} as const

/** A file that libheif cannot read, and why. */
export class HeifError extends Error {
  readonly fault: HeifFault
  constructor(fault: HeifFault, text: string) {
    super(text)
    this.fault = fault
  }
}

/** Larger files are not photos of a panel. */
const mostBytes = 400_000_000

const lib = makeLibrary({ print: () => undefined, printErr: () => undefined })
const errorAt = lib._malloc(16)
const answerAt = lib._malloc(16)

export { lib }
export const word = (at: number): number => lib.HEAPU32[at >> 2] ?? 0

/** One call whose error comes back as a structure: code, further code, text. @throws HeifError */
export function check(call: (error: number) => void): void {
  call(errorAt)
  const code = word(errorAt)
  if (code !== 0) throw new HeifError(faultOf(code, word(errorAt + 4)), textAt(word(errorAt + 8)))
}

/** One call that answers with a number or pointer besides its error. @throws HeifError */
export function ask(call: (error: number, answer: number) => void): number {
  check((error) => call(error, answerAt))
  return word(answerAt)
}

/** The same for what may be absent: null then. */
export function askIfThere(call: (error: number, answer: number) => void): number | null {
  call(errorAt, answerAt)
  return word(errorAt) === 0 ? word(answerAt) : null
}

/** As many bytes as `fill` writes, copied out of the library's memory. */
export function bytesOf(size: number, fill: (at: number) => void): Uint8Array {
  const at = lib._malloc(Math.max(1, size))
  if (at === 0) throw new HeifError('too-large', 'no memory')
  try {
    fill(at)
    return lib.HEAPU8.slice(at, at + size)
  } finally {
    lib._free(at)
  }
}

/** Numbers of items, at most `most` of them. */
export function idsOf(count: number, list: (at: number, count: number) => void, most = 1000): number[] {
  const wanted = Math.min(count, most)
  if (wanted <= 0) return []
  const bytes = bytesOf(wanted * 4, (at) => list(at, wanted))
  return [...new Uint32Array(bytes.buffer, bytes.byteOffset, wanted)]
}

export function textAt(at: number, most = 300): string {
  if (at === 0) return ''
  let text = ''
  for (let i = at; i < at + most && lib.HEAPU8[i]; i++) text += String.fromCharCode(lib.HEAPU8[i] ?? 0)
  return text
}

function faultOf(code: number, further: number): HeifFault {
  if (code === named.error.memory || further === named.suberror.securityLimit) return 'too-large'
  const { unsupportedFiletype, unsupportedFeature, noPlugin } = named.error
  // a main picture of a type that is not known counts as none
  const isOther = [unsupportedFiletype, unsupportedFeature, noPlugin].some((other) => other === code)
  return isOther || further === named.suberror.noSuchItem ? 'other-coding' : 'damaged'
}

/** Opens the main picture of a file, hands its handle on, and lets everything go again. @throws HeifError */
export function withMainPicture<T>(path: string, use: (handle: number, context: number) => T): T {
  const { at: bytesAt, size } = fileInMemory(path)
  const context = lib._heif_context_alloc()
  let handle = 0
  try {
    check((error) => lib._heif_context_read_from_memory_without_copy(error, context, bytesAt, size, 0))
    handle = ask((error, answer) => lib._heif_context_get_primary_image_handle(error, context, answer))
    return use(handle, context)
  } finally {
    if (handle !== 0) lib._heif_image_handle_release(handle)
    lib._heif_context_free(context)
    lib._free(bytesAt)
  }
}

/** The file straight in the library's memory. */
function fileInMemory(path: string): { at: number; size: number } {
  const file = openSync(path, 'r')
  try {
    const { size } = fstatSync(file)
    if (size > mostBytes) throw new HeifError('too-large', 'file')
    const at = lib._malloc(Math.max(1, size))
    if (at === 0) throw new HeifError('too-large', 'no memory')
    let done = 0
    while (done < size) {
      const count = readSync(file, lib.HEAPU8, at + done, size - done, done)
      if (count === 0) break
      done += count
    }
    return { at, size: done }
  } finally {
    closeSync(file)
  }
}
