import { panelAt } from '../../../rack/history/past/panel-at.ts'
import { restorePanel } from '../../../rack/history/restore/restore.ts'
import { describeChange } from '../../../rack/history/tell/describe.ts'
import { listHistory, listPainters } from '../../../rack/queries/history.ts'
import { findPanels, namePanel, removalOf } from '../../../rack/queries/history-panels.ts'
import type { Handlers } from '../../dispatch.ts'

/** Undo, redo, what was changed by whom and when, and a panel as it stood in the past. */
export const historyHandlers = {
  'history.undo': async (_, context) => ({ label: (await context.rack().undo()).label }),
  'history.redo': async (_, context) => ({ label: (await context.rack().redo()).label }),
  'history.list': async (asked, context) => context.rack().read((db) => listHistory(db, asked)),
  'history.listPainters': async (_, context) => ({ painters: await listPainters(context.rack().db) }),
  'history.findPanels': async ({ words }, context) => ({
    panels: await context.rack().read((db) => findPanels(db, words)),
  }),
  'history.namePanel': async ({ key }, context) =>
    context.rack().read(async (db) => {
      const panel = await namePanel(db, key)
      return { panel, removal: await removalOf(db, panel) }
    }),
  'history.describe': async ({ changeId }, context) => context.rack().read((db) => describeChange(db, changeId)),
  'history.panelAt': async (then, context) => context.rack().read((db) => panelAt(db, then)),
  'history.restorePanel': async (then, context) => {
    const { code, notes } = await context
      .rack()
      .change({ label: 'restore a panel', panelId: then.panelId }, (change) => restorePanel(change, then))
    return { panelId: then.panelId, code, notes }
  },
} satisfies Partial<Handlers>
