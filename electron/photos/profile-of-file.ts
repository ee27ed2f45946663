import { parseIcc } from '../../shared-core/colour/icc.ts'
import { type RgbProfile, srgbProfile } from '../../shared-core/colour/profile.ts'
import type { Caution } from '../../shared-core/records/photo.ts'

export type FileProfile = { profile: RgbProfile; assumed: boolean; cautions: Caution[] }

const untagged: Caution = {
  code: 'photo/untagged',
  message: 'The file names no colour profile; its numbers are read as sRGB.',
  remedy: 'If it comes from an editor, export it again with its profile embedded.',
}
const tables: Caution = {
  code: 'photo/profile-tables',
  message: 'The file’s colour profile works by tables, which cannot be read; its numbers are read as sRGB.',
  remedy: 'Export the photo again in sRGB, Display P3 or Adobe RGB.',
}
const unreadable: Caution = {
  code: 'photo/profile-unreadable',
  message: 'The file’s colour profile is damaged or not one for RGB pictures; its numbers are read as sRGB.',
  remedy: 'Export the photo again in sRGB, Display P3 or Adobe RGB.',
}

/** The profile that a file's numbers are read in. Where that is not the file's own, a caution says so. */
export function profileOfFile(icc: Uint8Array | undefined, isGrey: boolean): FileProfile {
  if (!icc) return { profile: srgbProfile, assumed: true, cautions: [untagged] }
  const parsed = parseIcc(icc)
  if (parsed.ok) return { profile: parsed.profile, assumed: false, cautions: [] }
  if (isGrey && parsed.why === 'not-rgb') return { profile: srgbProfile, assumed: true, cautions: [greyProfile] }
  return { profile: srgbProfile, assumed: true, cautions: [parsed.why === 'lut-only' ? tables : unreadable] }
}

const greyProfile: Caution = {
  code: 'photo/grey-profile',
  message: 'This is a black-and-white picture with a grey profile; its numbers are read as sRGB greys.',
  remedy: 'Take a colour photo to read a colour.',
}
