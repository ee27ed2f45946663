import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { addReading, getReading, removeReading } from '../../rack/queries/readings.ts'
import { addReference, getReference, listReferences } from '../../rack/queries/references.ts'
import { mustBeLight } from '../../rack/queries/shelf.ts'
import type { Handlers } from '../dispatch.ts'
import { typedReading } from '../typed-colour.ts'

/** Readings that need no photo, and references. */
export const readingHandlers = {
  'readings.addTyped': async ({ stepId, ...typed }, context) => {
    const rack = context.rack()
    const panel = await panelOf(rack.db, stepId)
    const reading = typedReading(typed, { stepId })
    await rack.change({ label: `add a reading to ${panel.code}`, panelId: panel.id }, async (change) => {
      await panelOf(change.db, stepId)
      await mustBeLight(change.db, typed.lightId)
      await addReading(change, reading)
    })
    return { reading }
  },
  'readings.remove': async ({ readingId }, context) => {
    const rack = context.rack()
    const reading = await getReading(rack.db, readingId)
    const panel = await rack.db
      .selectFrom('step')
      .select('panel_id')
      .where('id', '=', reading.stepId)
      .executeTakeFirst()
    await rack.change({ label: 'remove a reading', panelId: panel?.panel_id ?? null }, (change) =>
      removeReading(change, readingId),
    )
    return {}
  },
  'references.list': async (_, context) => ({
    references: await context.rack().read((db) => listReferences(db)),
  }),
  'references.get': async ({ referenceId }, context) => ({
    reference: await context.rack().read((db) => getReference(db, referenceId)),
  }),
  'references.addTyped': async ({ name, ...typed }, context) => {
    const id = v7()
    return context.rack().change({ label: `add reference ${name}` }, async (change) => {
      await mustBeLight(change.db, typed.lightId)
      await addReference(change, id, name)
      await addReading(change, typedReading(typed, { referenceId: id }))
      return { reference: await getReference(change.db, id) }
    })
  },
  'references.rename': async ({ referenceId, name }, context) => {
    const rack = context.rack()
    const { name: before } = await getReference(rack.db, referenceId)
    return rack.change({ label: `rename reference ${before}` }, async (change) => {
      await change.update('reference', referenceId, { name })
      return { reference: await getReference(change.db, referenceId) }
    })
  },
  'references.remove': async ({ referenceId }, context) => {
    const rack = context.rack()
    const { name } = await getReference(rack.db, referenceId)
    await rack.change({ label: `remove reference ${name}` }, (change) =>
      change.update('reference', referenceId, { deleted_at: new Date().toISOString() }),
    )
    return {}
  },
} satisfies Partial<Handlers>

/** The panel of a step. @throws Refusal `step/absent` */
async function panelOf(db: Rack['db'], stepId: string): Promise<{ id: string; code: string }> {
  const panel = await db
    .selectFrom('step')
    .innerJoin('panel', 'panel.id', 'step.panel_id')
    .select(['panel.id', 'panel.code'])
    .where('step.id', '=', stepId)
    .where('panel.deleted_at', 'is', null)
    .executeTakeFirst()
  if (panel) return panel
  throw new Refusal(
    'step/absent',
    'This step is not in the rack (any more).',
    'Open its panel again and choose a step.',
  )
}
