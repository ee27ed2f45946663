import type { PixelBox } from '../../../shared-core/capture/geometry.ts'

/** Colour code points of a file that carries no ICC profile. Source: ITU-T H.273 (ISO/IEC 23091-2) tables 2 and 3. */
export type CodePoints = { primaries: number; transfer: number }

/** What an HEIF file says of its main picture. */
export type HeifDescription = {
  /** Upright: after the file's own turns and mirrors. */
  width: number
  height: number
  /** Bits of each channel in the file: 8, 10 or 12. */
  bits: number
  isGrey: boolean
  icc: Uint8Array | null
  codePoints: CodePoints | null
  /** A TIFF structure, without what stands before it in the file. */
  exif: Uint8Array | null
  hasGainMap: boolean
}

/** RGB, upright; 16-bit numbers where the file has more than 8 bits, unless eight are enough. */
export type HeifPixels = { width: number; height: number; data: Uint8Array | Uint16Array }

/**
 * What a decoder is asked for. `check` decodes all of the picture and keeps nothing; `decode` gives the part in
 * `box`, or all of it.
 */
export type HeifTask =
  | { what: 'describe'; path: string; mostPixels: number }
  | { what: 'check'; path: string; mostPixels: number }
  | { what: 'decode'; path: string; mostPixels: number; box: PixelBox | null; eightBits: boolean }

export type HeifFault = 'damaged' | 'too-large' | 'other-coding'

export type HeifAnswer =
  | { ok: true; what: 'describe'; description: HeifDescription }
  | { ok: true; what: 'check' }
  | { ok: true; what: 'decode'; pixels: HeifPixels }
  | { ok: false; fault: HeifFault; text: string }
