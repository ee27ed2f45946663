import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import { diskFull, isDiskFull } from '../../rack/refusals.ts'
import { mostPhotos } from './photos-below.ts'

/** What a folder cannot be watched for just now. */
export const troubles = {
  gone: {
    code: 'watched/gone',
    message: 'This folder is not there just now: its card or drive is not connected, or it was moved.',
    remedy: 'Connect it again. Watching goes on by itself.',
    weight: 'note',
  },
  unreadable: {
    code: 'watched/unreadable',
    message: 'This folder may not be read.',
    remedy: 'Allow Overground to read it. Watching goes on by itself.',
  },
  tooMany: {
    code: 'watched/too-many-photos',
    message: `More than ${mostPhotos.toLocaleString('en')} photos or too many folders lie in this folder. Only some of them are watched.`,
    remedy: 'Watch the folder that new photos come into instead.',
  },
} as const satisfies Record<string, Caution>

const gone = new Set([
  'ENOENT',
  'ENOTDIR',
  'ENXIO',
  'ENODEV',
  'EIO',
  'ESTALE',
  'EHOSTDOWN',
  'ETIMEDOUT',
  'ENOTCONN',
  'ELOOP',
])

/** What went wrong, in words: of the folder, or of the rack; null for what nobody expects. */
export function troubleOf(error: unknown): Caution | null {
  const refusal = isDiskFull(error) ? diskFull() : error
  if (refusal instanceof Refusal) return { code: refusal.code, message: refusal.message, remedy: refusal.remedy }
  const { code } = error as { code?: string }
  if (code === 'EACCES' || code === 'EPERM') return troubles.unreadable
  return code !== undefined && gone.has(code) ? troubles.gone : null
}
