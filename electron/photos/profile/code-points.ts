import { type RgbProfile, recogniseProfile } from '../../../shared-core/colour/profile.ts'
import { displayP3, type RgbSpace, rec2020, rgbToXyzD50Matrix, srgb } from '../../../shared-core/colour/spaces.ts'
import type { CodePoints } from '../heif/task.ts'

/** What colour code points mean for reading a colour. */
export type CodedProfile =
  | { kind: 'known'; profile: RgbProfile }
  | { kind: 'unspecified' }
  | { kind: 'unknown' }
  /** Numbers for a bright screen (PQ, HLG): not how much light fell on the sensor. */
  | { kind: 'hdr' }

const unspecified = 2
const primaries = new Map<number, RgbSpace>([
  [1, srgb],
  [9, rec2020],
  [12, displayP3],
])
const power = (gamma: number) => (v: number) => (v < 0 ? -((-v) ** gamma) : v ** gamma)
/** BT.709, 601 and 2020 have one curve, written with more or fewer digits. */
const videoCurve = rec2020.decode
const curves = new Map<number, RgbSpace['decode']>([
  [1, videoCurve],
  [4, power(2.2)],
  [5, power(2.8)],
  [6, videoCurve],
  [8, (v) => v],
  [13, srgb.decode],
  [14, videoCurve],
  [15, videoCurve],
])
const hdrCurves = [16, 18]

/**
 * The profile that a pair of code points names.
 * Source: ITU-T H.273 (2021) tables 2 (primaries) and 3 (transfer characteristics).
 */
export function profileOfCodePoints(points: CodePoints): CodedProfile {
  if (hdrCurves.includes(points.transfer)) return { kind: 'hdr' }
  if (points.primaries === unspecified || points.transfer === unspecified) return { kind: 'unspecified' }
  const space = primaries.get(points.primaries)
  const decode = curves.get(points.transfer)
  if (!space || !decode) return { kind: 'unknown' }
  const toXyzD50 = rgbToXyzD50Matrix(space)
  const name = recogniseProfile([decode, decode, decode], toXyzD50) ?? otherName(points, space)
  return { kind: 'known', profile: { name, decode: [decode, decode, decode], toXyzD50 } }
}

function otherName({ primaries: p, transfer }: CodePoints, space: RgbSpace): string {
  if (p === 1 && decodesVideo(transfer)) return 'BT.709'
  return `${space.name} primaries, ${decodesVideo(transfer) ? 'video' : 'other'} curve`
}

const decodesVideo = (transfer: number) => curves.get(transfer) === videoCurve
