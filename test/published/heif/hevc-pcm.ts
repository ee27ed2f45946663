import { Bits } from './bits.ts'

/**
 * A picture coded in HEVC without any loss: every block is `pcm_flag` = 1, so the samples stand in the stream as they are.
 * Written after ITU-T H.265 (08/2021): clause 7.3 (syntax), 9.3.2.5 (start after PCM), 9.3.4.3 (arithmetic decoder) and
 * 9.3.5 (its encoder).
 */
export type PcmPicture = {
  /** Multiples of 16; `shown` cuts to what is to be seen. */
  width: number
  height: number
  shown?: { width: number; height: number }
  bits: 8 | 10
  /** 3: as many samples of every plane; 1: the second and third plane have half of them each way; 0: one plane. */
  chroma: 0 | 1 | 3
  planes: readonly (Uint8Array | Uint16Array)[]
  /** Code points of ITU-T H.273: primaries, transfer, matrix. */
  colour: readonly [number, number, number]
  fullRange?: boolean
}

export type Coded = { vps: Buffer; sps: Buffer; pps: Buffer; slice: Buffer; bits: number; chroma: number }

const block = 16
const unit = { vps: 32, sps: 33, pps: 34, idr: 20 }

export function codePcm(picture: PcmPicture): Coded {
  return {
    vps: nal(unit.vps, videoParameters(picture)),
    sps: nal(unit.sps, sequenceParameters(picture)),
    pps: nal(unit.pps, pictureParameters()),
    slice: nal(unit.idr, slice(picture)),
    bits: picture.bits,
    chroma: picture.chroma,
  }
}

/** Clause 7.3.1.2 and 7.4.2: a header of two bytes; a 3 after two zeros where a start code could be seen. */
function nal(type: number, payload: Buffer): Buffer {
  const out = [type << 1, 1]
  let zeros = 0
  for (const byte of payload) {
    if (zeros >= 2 && byte <= 3) {
      out.push(3)
      zeros = 0
    }
    out.push(byte)
    zeros = byte === 0 ? zeros + 1 : 0
  }
  return Buffer.from(out)
}

/** Clause 7.3.3; profile 1 Main, 2 Main 10, 4 format range extensions (4:4:4, 4:0:0). */
function profileTierLevel(bits: Bits, { bits: depth, chroma }: PcmPicture): void {
  const profile = chroma !== 1 ? 4 : depth === 10 ? 2 : 1
  bits.u(2, 0).u(1, 0).u(5, profile)
  for (let i = 0; i < 32; i++) bits.u(1, i === profile ? 1 : 0)
  bits.u(1, 1).u(1, 0).u(1, 1).u(1, 1)
  bits.u(32, 0).u(11, 0).u(1, 0)
  bits.u(8, 186)
}

function videoParameters(picture: PcmPicture): Buffer {
  const bits = new Bits().u(4, 0).u(1, 1).u(1, 1).u(6, 0).u(3, 0).u(1, 1).u(16, 0xffff)
  profileTierLevel(bits, picture)
  bits.u(1, 1).ue(0).ue(0).ue(0)
  return bits.u(6, 0).ue(0).u(1, 0).u(1, 0).oneThenZeros().bytes()
}

function sequenceParameters(picture: PcmPicture): Buffer {
  const { width, height, shown = picture, chroma, bits: depth, colour, fullRange = true } = picture
  const bits = new Bits().u(4, 0).u(3, 0).u(1, 1)
  profileTierLevel(bits, picture)
  bits.ue(0).ue(chroma)
  if (chroma === 3) bits.u(1, 0)
  bits.ue(width).ue(height)
  // the conformance window counts in chroma samples
  const step = chroma === 1 ? 2 : 1
  bits.u(1, 1).ue(0)
  bits.ue((width - shown.width) / step).ue(0)
  bits.ue((height - shown.height) / step)
  bits
    .ue(depth - 8)
    .ue(depth - 8)
    .ue(4)
  bits.u(1, 1).ue(0).ue(0).ue(0)
  // coding blocks of 16 only; transform blocks of 4 to 16, never used
  bits.ue(1).ue(0).ue(0).ue(2).ue(0).ue(0)
  bits.u(1, 0).u(1, 0).u(1, 0)
  // PCM: depth of luma and chroma, blocks of 16 only, no loop filter over them
  bits
    .u(1, 1)
    .u(4, depth - 1)
    .u(4, depth - 1)
    .ue(1)
    .ue(0)
    .u(1, 1)
  bits.ue(0).u(1, 0).u(1, 0).u(1, 0)
  // annex E: what the numbers mean
  bits.u(1, 1).u(1, 0).u(1, 0).u(1, 1)
  bits
    .u(3, 5)
    .u(1, fullRange ? 1 : 0)
    .u(1, 1)
  for (const point of colour) bits.u(8, point)
  bits.u(1, 0).u(1, 0).u(1, 0).u(1, 0).u(1, 0).u(1, 0).u(1, 0)
  return bits.u(1, 0).oneThenZeros().bytes()
}

function pictureParameters(): Buffer {
  const bits = new Bits().ue(0).ue(0)
  bits.u(1, 0).u(1, 0).u(3, 0).u(1, 0).u(1, 0)
  bits.ue(0).ue(0).se(0)
  bits.u(1, 0).u(1, 0).u(1, 0)
  bits.se(0).se(0)
  bits.u(1, 0).u(1, 0).u(1, 0).u(1, 0).u(1, 0).u(1, 0)
  bits.u(1, 0).u(1, 0).u(1, 0).u(1, 0)
  return bits.ue(0).u(1, 0).u(1, 0).oneThenZeros().bytes()
}

/** One slice of type I: header, then block by block `part_mode`, `pcm_flag`, the samples, `end_of_slice_segment_flag`. */
function slice(picture: PcmPicture): Buffer {
  const bits = new Bits().u(1, 1).u(1, 0).ue(0).ue(2).se(0).oneThenZeros()
  const [across, down] = [picture.width / block, picture.height / block]
  const part = new PartMode()
  for (let n = 0; n < across * down; n++) {
    const coder = new Arithmetic()
    if (n > 0) coder.terminate(0)
    part.code(coder)
    coder.terminate(1)
    coder.flush(bits)
    bits.zerosToByte()
    samplesOf(bits, picture, n % across, Math.floor(n / across))
  }
  const last = new Arithmetic()
  last.terminate(1)
  // the last bit of the flush is the stop bit of the payload
  last.flush(bits)
  return bits.zerosToByte().bytes()
}

function samplesOf(bits: Bits, { width, bits: depth, chroma, planes }: PcmPicture, column: number, row: number): void {
  planes.forEach((plane, i) => {
    const shrink = i > 0 && chroma === 1 ? 2 : 1
    const size = block / shrink
    for (let y = row * size; y < (row + 1) * size; y++)
      for (let x = column * size; x < (column + 1) * size; x++) bits.u(depth, plane[y * (width / shrink) + x] ?? 0)
  })
}

/** The encoder of clause 9.3.5, for the few bins between two blocks of samples: its low end never needs a carry. */
class Arithmetic {
  private low = 0
  private range = 510
  private shifts = 0

  private renormalise(): void {
    while (this.range < 256) {
      this.range *= 2
      this.low *= 2
      this.shifts++
    }
  }

  /** The more probable value of a context in state `state`. */
  probable(state: number): void {
    this.range -= rangeTable[state]?.[(this.range >> 6) & 3] ?? 0
    this.renormalise()
  }

  terminate(value: 0 | 1): void {
    this.range -= 2
    if (value === 1) {
      this.low += this.range
      this.range = 2
    }
    this.renormalise()
  }

  /** EncodeFlush: the first bit of ten is never written; the last one is a one. */
  flush(bits: Bits): void {
    bits.u(this.shifts + 1, Math.floor(this.low / 2 ** 8) % 2 ** (this.shifts + 1)).u(1, 1)
  }
}

/**
 * `part_mode` = 2N×2N, bin 1 each time. Its context begins with initValue 184 (table 9-11) at SliceQpY 26, and each 1 makes a
 * 1 more probable (table 9-53: the next state, up to 62).
 */
class PartMode {
  private state: number

  constructor() {
    const [slope, offset] = [(184 >> 4) * 5 - 45, ((184 & 15) << 3) - 16]
    const start = Math.min(126, Math.max(1, ((slope * 26) >> 4) + offset))
    if (start <= 63) throw new Error('The context would begin with 0 as its more probable value.')
    this.state = start - 64
  }

  code(coder: Arithmetic): void {
    coder.probable(this.state)
    this.state = Math.min(62, this.state + 1)
  }
}

/** Table 9-52, rangeTabLps, states 0 to 62. */
// biome-ignore format: five states a line
const rangeTable: readonly (readonly number[])[] = [
  [128, 176, 208, 240], [128, 167, 197, 227], [128, 158, 187, 216], [123, 150, 178, 205], [116, 142, 169, 195],
  [111, 135, 160, 185], [105, 128, 152, 175], [100, 122, 144, 166], [95, 116, 137, 158], [90, 110, 130, 150],
  [85, 104, 123, 142], [81, 99, 117, 135], [77, 94, 111, 128], [73, 89, 105, 122], [69, 85, 100, 116],
  [66, 80, 95, 110], [62, 76, 90, 104], [59, 72, 86, 99], [56, 69, 81, 94], [53, 65, 77, 89],
  [51, 62, 73, 85], [48, 59, 69, 80], [46, 56, 66, 76], [43, 53, 63, 72], [41, 50, 59, 69],
  [39, 48, 56, 65], [37, 45, 54, 62], [35, 43, 51, 59], [33, 41, 48, 56], [32, 39, 46, 53],
  [30, 37, 43, 50], [29, 35, 41, 48], [27, 33, 39, 45], [26, 31, 37, 43], [24, 30, 35, 41],
  [23, 28, 33, 39], [22, 27, 32, 37], [21, 26, 30, 35], [20, 24, 29, 33], [19, 23, 27, 31],
  [18, 22, 26, 30], [17, 21, 25, 28], [16, 20, 23, 27], [15, 19, 22, 25], [14, 18, 21, 24],
  [14, 17, 20, 23], [13, 16, 19, 22], [12, 15, 18, 21], [12, 14, 17, 20], [11, 14, 16, 19],
  [11, 13, 15, 18], [10, 12, 15, 17], [10, 12, 14, 16], [9, 11, 13, 15], [9, 11, 12, 14],
  [8, 10, 12, 14], [8, 9, 11, 13], [7, 9, 11, 12], [7, 9, 10, 12], [7, 8, 10, 11],
  [6, 8, 9, 11], [6, 7, 9, 10], [6, 7, 8, 9],
]
