import type { Failure, Output } from '../../../shared-core/contract/calls.ts'
import type { SideShown } from '../../../shared-core/contract/side-calls.ts'
import type { SideItem } from '../../../shared-core/records/side.ts'
import { useScreenSpace } from '../../parts/gamut-word.ts'
import { useAnswer } from '../../state/asking.ts'
import type { SideHow } from '../../state/side-address.ts'

export type Picture = {
  made: Output<'side.correctPhoto'> | null
  /** Why there is none, where a photo was to be shown. */
  error: Failure | null
  waiting: boolean
}

/** The corrected picture of what lies in a place; whoever asks for the same gets the same answer. */
export function usePicture(item: SideItem, shown: SideShown | null, shows: SideHow['shows']): Picture {
  const space = useScreenSpace()
  const wanted = shows === 'photos' && shown?.photo ? shown : null
  const of = item.kind === 'point' ? item : wanted ? ({ kind: 'reading', id: wanted.reading.id } as const) : null
  const { value, error } = useAnswer('side.correctPhoto', wanted && of ? { of, space } : null)
  return {
    made: wanted && value ? value : null,
    error: wanted ? error : null,
    waiting: Boolean(wanted && !value && !error),
  }
}
