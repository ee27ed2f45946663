import { listHistory } from '../../../rack/queries/rack-info.ts'
import type { Handlers } from '../../dispatch.ts'

/** Undo, redo, and what was changed by whom and when. */
export const historyHandlers = {
  'history.undo': async (_, context) => ({ label: (await context.rack().undo()).label }),
  'history.redo': async (_, context) => ({ label: (await context.rack().redo()).label }),
  'history.list': async ({ panelId, limit }, context) => ({
    entries: await listHistory(context.rack().db, panelId, limit),
  }),
} satisfies Partial<Handlers>
