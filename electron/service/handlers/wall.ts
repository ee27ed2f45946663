import type { PanelChange } from '../../../shared-core/records/wall.ts'
import { listSummaries, panelsOfSteps } from '../../rack/queries/panel-list.ts'
import { changePanels } from '../../rack/queries/wall/change-many.ts'
import { orderPanels } from '../../rack/queries/wall/order.ts'
import { getSearch, listSearches, renameSearch, saveSearch } from '../../rack/queries/wall/saved-searches.ts'
import type { Handlers } from '../dispatch.ts'

/** The rack as it hangs: which panels in which order, what they show, what is done to many, searches kept by name. */
export const wallHandlers = {
  'panels.order': async ({ filter, sort, group }, context) =>
    context.rack().read((db) => orderPanels(db, filter, sort, group)),
  'panels.summaries': async ({ ids, stepIds = [] }, context) => ({
    panels: await context
      .rack()
      .read(async (db) => listSummaries(db, [...new Set([...ids, ...(await panelsOfSteps(db, stepIds))])])),
  }),
  'panels.changeMany': async ({ panelIds, change: wanted }, context) =>
    context.rack().change({ label: 'change panels' }, async (change) => {
      const { changed, skipped } = await changePanels(change, panelIds, wanted)
      const [first] = changed
      if (changed.length > 1) await change.relabel(labelOf(wanted, `${changed.length} panels`))
      else if (first) await change.relabel(labelOf(wanted, `panel ${first.code}`), first.id)
      return { changed: changed.length, skipped }
    }),
  'searches.list': async (_, context) => ({ searches: await listSearches(context.rack().db) }),
  'searches.save': async ({ replace, ...search }, context) => ({
    search: await context
      .rack()
      .change({ label: `save search “${search.name}”` }, (change) => saveSearch(change, search, replace ?? false)),
  }),
  'searches.rename': async ({ id, name }, context) => ({
    search: await context
      .rack()
      .change({ label: `rename search to “${name}”` }, (change) => renameSearch(change, id, name)),
  }),
  'searches.remove': async ({ id }, context) => {
    await context.rack().change({ label: 'remove search' }, async (change) => {
      const { name } = await getSearch(change.db, id)
      await change.remove('saved_search', id)
      await change.relabel(`remove search “${name}”`)
    })
    return {}
  },
} satisfies Partial<Handlers>

/** As it reads on after "Undo". */
function labelOf(wanted: PanelChange, whom: string): string {
  const parts = [
    wanted.removeTags && 'untag',
    wanted.addTags && 'tag',
    wanted.ground !== undefined && 'set ground of',
    wanted.retire !== undefined && (wanted.retire ? 'retire' : 'take back into use'),
    wanted.trash && 'remove',
  ].filter((part) => typeof part === 'string')
  return `${parts.length === 1 ? parts[0] : 'change'} ${whom}`
}
