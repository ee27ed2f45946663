import { v7 } from 'uuid'
import type { Rack } from '../../rack/opening/open.ts'
import { newestChange } from '../../rack/queries/history.ts'

/** Photos that come one by one, each by an intake of its own, and are one step to undo. */
export type Sitting = {
  /** The change that the next photo is part of. */
  partOf(rack: Rack): Promise<string>
  /** What that change is called with so many more photos. */
  label(more: number): string
  kept(changeId: string, more: number): void
}

/** As long as nothing else is done in between: what was done last is what is undone first. */
export function makeSitting(labelOf: (count: number) => string): Sitting {
  let changeId = ''
  let count = 0
  return {
    partOf: async (rack) => {
      if ((await newestChange(rack.db)) !== changeId) {
        changeId = v7()
        count = 0
      }
      return changeId
    },
    label: (more) => labelOf(count + more),
    kept: (id, more) => {
      changeId = id
      count += more
    },
  }
}
