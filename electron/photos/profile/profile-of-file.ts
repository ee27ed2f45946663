import { parseIcc } from '../../../shared-core/colour/icc.ts'
import { type RgbProfile, srgbProfile } from '../../../shared-core/colour/profile.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import type { CodePoints } from '../heif/task.ts'
import { refusals } from '../refusals.ts'
import { profileOfCodePoints } from './code-points.ts'
import { iccOfProfile } from './icc-of-profile.ts'

export type FileProfile = {
  profile: RgbProfile
  assumed: boolean
  cautions: Caution[]
  /** What pictures made of this photo are tagged with; undefined when the file says nothing that holds for them too. */
  icc: Uint8Array | undefined
}

/** What a file says of its colours, in one way or another. */
export type Said = {
  isGrey: boolean
  icc?: Uint8Array | null | undefined
  codePoints?: CodePoints | null
  /** Named by a tag of its container. */
  named?: RgbProfile | null
}

/**
 * The profile that a file's numbers are read in. Where that is not the file's own, a caution says so.
 * @throws Refusal photo/hdr
 */
export function profileOfFile({ isGrey, icc, codePoints, named }: Said): FileProfile {
  if (icc) return profileOfIcc(icc, isGrey)
  if (named) return own(named)
  const coded = codePoints ? profileOfCodePoints(codePoints) : { kind: 'unspecified' as const }
  switch (coded.kind) {
    case 'known':
      return own(coded.profile)
    case 'hdr':
      throw refusals.hdr()
    case 'unknown':
      return { ...assumed(unreadable), icc: undefined }
    case 'unspecified':
      return { ...assumed(untagged), icc: undefined }
  }
}

const own = (profile: RgbProfile): FileProfile => ({
  profile,
  assumed: false,
  cautions: [],
  icc: iccOfProfile(profile),
})
const assumed = (caution: Caution) => ({ profile: srgbProfile, assumed: true, cautions: [caution] })

/** Tables of a printer's profile take a megabyte or two; every small picture would carry what is larger. */
const mostBytes = 4_000_000
/** A longer one is written anew for them, with nothing but primaries and curves. */
const mostCarriedBytes = 100_000

function profileOfIcc(icc: Uint8Array, isGrey: boolean): FileProfile {
  if (icc.length > mostBytes) return { ...assumed(unreadable), icc: undefined }
  const parsed = parseIcc(icc)
  if (parsed.ok) {
    const { profile } = parsed
    return { profile, assumed: false, cautions: [], icc: icc.length > mostCarriedBytes ? iccOfProfile(profile) : icc }
  }
  // pictures made of it have three channels, which a grey profile does not fit
  if (isGrey && parsed.why === 'not-rgb') return { ...assumed(greyProfile), icc: undefined }
  // its numbers are read as sRGB, so they are shown as that; a broken profile is no browser's to make sense of
  if (parsed.why !== 'lut-only') return { ...assumed(unreadable), icc: undefined }
  return { ...assumed(tables), icc }
}

const untagged: Caution = {
  code: 'photo/untagged',
  message: 'The file names no colour profile; its numbers are read as sRGB.',
  remedy: 'If it comes from an editor, export it again with its profile embedded.',
  weight: 'note',
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
const greyProfile: Caution = {
  code: 'photo/grey-profile',
  message: 'This is a black-and-white picture with a grey profile; its numbers are read as sRGB greys.',
  remedy: 'Take a colour photo to read a colour.',
}
