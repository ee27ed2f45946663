import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Access } from '../../../shared-core/records/rack.ts'
import { type Options, openRack, type Rack } from '../../rack/opening/open.ts'
import { openForReading } from '../../rack/opening/reading.ts'

/** How the painter wants a rack to be opened. `local`: they know that its folder lies on this computer. */
export type How = 'usual' | 'reading' | 'local'

const instead: Readonly<Record<string, NonNullable<Access['why']>>> = {
  'rack/on-network': 'network',
  'rack/place-unknown': 'unknown',
  'rack/read-only': 'read-only',
}

/**
 * Opens a rack with full rights, or to be looked at where it lies in a place that does not allow more. One that is in use elsewhere
 * is refused: to look at it is a choice of the painter's.
 * @param home the application's own folder
 */
export async function openAsItCan(folder: string, how: How, home: string, options: Options): Promise<Rack> {
  try {
    return await openRack(folder, { ...options, isLocal: how === 'local' })
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    const why = instead[error.code] ?? (how === 'reading' && error.code === 'rack/locked' ? 'in-use' : null)
    if (why === null) throw error
    return openForReading(folder, home, why, options)
  }
}
