import { readMapColours } from '../../rack/queries/map-colours.ts'
import type { Handlers } from '../dispatch.ts'

/** The colour map. */
export const mapHandlers = {
  'panels.colours': async ({ filter }, context) => context.rack().read((db) => readMapColours(db, filter)),
} satisfies Partial<Handlers>
