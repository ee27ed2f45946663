import type { Suspect } from '../../../../shared-core/records/film.ts'
import type { Route } from '../../../state/router.ts'

/** Where a reading that does not fit can be put right: in what is written down of its panel, or in its photo. */
export function suspectActs(
  { reason, code }: Pick<Suspect, 'reason' | 'code'>,
  photoId: string | null,
): { label: string; to: Route } | null {
  switch (reason) {
    case 'thin':
    case 'thick':
    case 'other-ground':
    case 'other-candy':
      return { label: 'Correct what is written down', to: { at: 'panel-form', key: code } }
    case 'misread':
    case 'contradicts':
      return photoId === null ? null : { label: 'Look at its photo', to: { at: 'tray', photoId } }
  }
}
