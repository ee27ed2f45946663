import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { listWords } from '../../rack/queries/panel-filter.ts'
import { listPanels, readSummaries } from '../../rack/queries/panel-list.ts'
import { findPanel, readPanel } from '../../rack/queries/panel-read.ts'
import { panelAbsent, removePanel, savePanel } from '../../rack/queries/panels.ts'
import { listPanelPhotos } from '../../rack/queries/photos.ts'
import { nextCode } from '../../rack/queries/rack-info.ts'
import { listPanelReadings } from '../../rack/queries/readings.ts'
import { addLight, listGunSetups, listLights, listMaterials } from '../../rack/queries/shelf.ts'
import type { Handlers } from '../dispatch.ts'

/** Panels and what their formulas are made of. */
export const panelHandlers = {
  'panels.list': async ({ filter, sort, limit }, context) =>
    context.rack().read((db) => listPanels(db, filter, sort, limit)),
  'panels.get': async ({ key }, context) =>
    context.rack().read(async (db) => {
      const id = await findPanel(db, key)
      const summary = (await readSummaries(db, [id])).get(id)
      if (!summary) throw panelAbsent()
      return {
        panel: await readPanel(db, id),
        summary,
        readings: await listPanelReadings(db, id),
        photos: await listPanelPhotos(db, id),
      }
    }),
  'panels.nextCode': async (_, context) => ({ code: await nextCode(context.rack().db) }),
  'panels.save': async ({ draft }, context) =>
    context.rack().change({ label: 'save panel', panelId: draft.id }, async (change) => {
      const id = await savePanel(change, draft)
      const panel = await readPanel(change.db, id)
      await change.relabel(`${draft.id === null ? 'add' : 'change'} panel ${panel.code}`, id)
      return { panel }
    }),
  'panels.remove': async ({ panelId }, context) => {
    const rack = context.rack()
    const { code } = await readPanel(rack.db, panelId)
    await rack.change({ label: `remove panel ${code}`, panelId }, (change) => removePanel(change, panelId))
    return {}
  },
  'panels.listWords': async (_, context) => context.rack().read(listWords),
  'materials.list': async (_, context) => ({ materials: await listMaterials(context.rack().db) }),
  'gunSetups.list': async (_, context) => ({ gunSetups: await listGunSetups(context.rack().db) }),
  'lights.list': async (_, context) => ({ lights: await listLights(context.rack().db) }),
  'lights.add': async ({ name, kelvin }, context) => {
    const light = await context
      .rack()
      .change({ label: `add light ${name}` }, (change) => addLight(change, name, kelvin))
    if (!light)
      throw new Refusal(
        'light/name-taken',
        `There is a light called “${name}” already.`,
        'Choose it from the list, or give the new one another name.',
      )
    return { light }
  },
} satisfies Partial<Handlers>
