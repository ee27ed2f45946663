import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { stockBasis } from '../../../shared-core/mix/stock.ts'
import type { Material } from '../../../shared-core/records/mixture.ts'
import type { Changing } from '../../rack/history/change.ts'
import {
  listReplacements,
  removeMaterial,
  replaceable,
  replaceMaterial,
  usesOf,
} from '../../rack/queries/bench/material-uses.ts'
import { listMixable } from '../../rack/queries/bench/mixable.ts'
import { countMaterial, keepMark, listMoves } from '../../rack/queries/bench/stock.ts'
import { addMaterial, materialRow, readMaterial, sameWords } from '../../rack/queries/shelf.ts'
import { keepDataSheet, openDataSheet } from '../data-sheets.ts'
import type { Handlers } from '../dispatch.ts'

/** So many moves are shown; all are kept. */
const mostMoves = 500

/** What formulas are made with. */
export const shelfHandlers = {
  'shelf.save': async ({ material: { id, ...said } }, context) =>
    context.rack().change({ label: 'change the shelf' }, async (change) => {
      await mustBeFreeName(change, id, said)
      if (id === null) {
        const made = await addMaterial(change, said)
        await change.relabel(`put ${said.name} on the shelf`)
        return { material: await readMaterial(change.db, made) }
      }
      const old = await readMaterial(change.db, id)
      await change.update('material', id, materialRow({ ...old, ...said }))
      // a mark that was not typed anew is what it was, also in what another kind is measured in
      const { densityKgPerL } = said
      if (said.reorderAt === old.reorderAt)
        await keepMark(change, { ...old, densityKgPerL }, stockBasis({ ...old, ...said }))
      await change.relabel(`change ${said.name}`)
      return { material: await readMaterial(change.db, id) }
    }),
  'shelf.remove': async ({ materialId }, context) => {
    await context.rack().change({ label: 'remove a material' }, async (change) => {
      await change.relabel(`remove ${await removeMaterial(change, materialId)} from the shelf`)
    })
    return {}
  },
  'shelf.count': async ({ materialId, onHand, how, batch }, context) =>
    context.rack().change({ label: 'count a material' }, async (change) => {
      await countMaterial(change, materialId, onHand, { how, batch, who: context.appFiles.settings().painter })
      const material = await readMaterial(change.db, materialId)
      const did = { counted: 'count', bought: 'add', 'thrown-away': 'throw away' }[how]
      await change.relabel(`${did} ${material.name}`)
      return { material }
    }),
  'shelf.history': async ({ materialId }, context) =>
    context.rack().read(async (db) => {
      await readMaterial(db, materialId)
      const { panels, cups, jobs } = await usesOf(db, materialId)
      return {
        moves: await listMoves(db, materialId, mostMoves),
        panels: panels.map(({ panelId, code, title }) => ({ panelId, code, title })),
        cups,
        jobs: jobs.map(({ customerJobId, code, title }) => ({ customerJobId, code, title })),
        replacements: await listReplacements(db, materialId),
      }
    }),
  'shelf.listMixable': async (_, context) => ({ formulas: await context.rack().read(listMixable) }),
  'shelf.previewReplace': async ({ materialId }, context) =>
    context.rack().read(async (db) => {
      await readMaterial(db, materialId)
      const { panels, jobs, sprayed } = await replaceable(db, materialId)
      return {
        panels: panels.map(({ panelId, code, title }) => ({ panelId, code, title })),
        jobs: jobs.map(({ customerJobId, code, title }) => ({ customerJobId, code, title })),
        sprayedPanelCount: sprayed.length,
      }
    }),
  'shelf.replace': async ({ materialId, byMaterialId }, context) =>
    context.rack().change({ label: 'replace a material' }, async (change) => {
      const who = context.appFiles.settings().painter
      const { replacement, from, to } = await replaceMaterial(change, materialId, byMaterialId, who)
      await change.relabel(`put ${to.name} in the place of ${from.name}`)
      return { replacement }
    }),
  'shelf.attachDataSheet': async ({ materialId, path }, context) => {
    const rack = context.rack()
    await readMaterial(rack.db, materialId)
    const file = await keepDataSheet(context, rack, path)
    return rack.change({ label: 'attach a data sheet' }, async (change) => {
      const { name } = await readMaterial(change.db, materialId)
      await change.update('material', materialId, { data_sheet_sha256: file.sha256, data_sheet_name: file.name })
      await change.relabel(`attach a data sheet to ${name}`)
      return { material: await readMaterial(change.db, materialId) }
    })
  },
  'shelf.detachDataSheet': async ({ materialId }, context) =>
    context.rack().change({ label: 'detach a data sheet' }, async (change) => {
      const { name } = await readMaterial(change.db, materialId)
      await change.update('material', materialId, { data_sheet_sha256: null, data_sheet_name: null })
      await change.relabel(`detach the data sheet of ${name}`)
      return { material: await readMaterial(change.db, materialId) }
    }),
  'shelf.openDataSheet': async ({ materialId }, context) => {
    const rack = context.rack()
    return openDataSheet(context, rack, await readMaterial(rack.db, materialId))
  },
} satisfies Partial<Handlers>

/** @throws Refusal `material/name-taken`: two of one name and kind could not be told apart in a formula */
async function mustBeFreeName(
  { db }: Changing,
  id: string | null,
  { name, kind }: Pick<Material, 'name' | 'kind'>,
): Promise<void> {
  const alike = await db.selectFrom('material').select(['id', 'name']).where('kind', '=', kind).execute()
  if (!alike.some((other) => other.id !== id && sameWords(other.name, name))) return
  throw new Refusal(
    'material/name-taken',
    `The shelf has a ${kind} called ${name.trim()} already.`,
    'Give it another name, with its maker or colour in it.',
  )
}
