import type { Handlers } from '../dispatch.ts'
import { correctPhoto } from '../side/correct-photo.ts'
import { readItems } from '../side/read-items.ts'

/** Laying colours beside each other. */
export const sideHandlers = {
  'side.readItems': ({ items }, context) => readItems(context.rack(), items),
  'side.correctPhoto': ({ of, space }, context) => correctPhoto(context.rack(), of, space),
} satisfies Partial<Handlers>
