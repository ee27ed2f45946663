import type { Suspect } from '../../../shared-core/records/film.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'
import { sayBound, sayNumber } from '../say-numbers.ts'

/** How far a reading is from what its formula should give, and how far it may be. */
export const missInWords = ({ de00, allowed90 }: Suspect, settings: Pick<Settings, 'decimal'>): string =>
  `Read ${sayNumber(de00, 1, settings)} from what its formula should give; ± ${sayBound(allowed90, settings)} is allowed.`
