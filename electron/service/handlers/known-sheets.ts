import { words } from '../../../shared-core/capture/words.ts'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { forgetKnownSheet, keepKnownSheet, listKnownSheets, readKnownSheet } from '../../rack/queries/known-sheets.ts'
import { saveLayout, withoutLostSteps } from '../../rack/queries/layouts.ts'
import { readPhotoRecord } from '../../rack/queries/photos.ts'
import { mustBeLight } from '../../rack/queries/shelf.ts'
import type { Handlers } from '../dispatch.ts'
import { besideReferences } from '../filing.ts'
import { learnSheetOf } from '../originals.ts'

/** Printed photo sheets whose white, greys and colours a chart has taught. */
export const knownSheetHandlers = {
  'sheets.listKnown': async (_, context) => ({ sheets: await listKnownSheets(context.rack().db) }),
  'sheets.learn': async ({ photoId, layout, lightId }, context) => {
    const rack = context.rack()
    const photo = await readPhotoRecord(rack.db, photoId)
    await mustBeLight(rack.db, lightId)
    const { sheet: shown } = layout
    if (!shown) {
      const { message, remedy } = words.sheetAbsent
      throw new Refusal('sheet/not-seen', message, remedy)
    }
    const { fit, cautions } = await learnSheetOf(rack, photo, layout)
    const { series } = shown.print
    const sheet = await rack.change({ label: `learn photo sheet ${series}` }, async (change) => {
      // reading a chart takes a while, in which photo or light may have gone
      await readPhotoRecord(change.db, photoId)
      await mustBeLight(change.db, lightId)
      const known = await withoutLostSteps(change.db, layout)
      await saveLayout(change, photo, await besideReferences(change.db, photoId, known))
      if (lightId !== null) await change.update('photo', photoId, { light_id: lightId })
      return readKnownSheet(change.db, await keepKnownSheet(change, { series, lightId, photoId, fit }))
    })
    return { sheet, cautions }
  },
  'sheets.forget': async ({ knownSheetId }, context) => {
    const rack = context.rack()
    const { series } = await readKnownSheet(rack.db, knownSheetId)
    await rack.change({ label: `forget photo sheet ${series}` }, async (change) => {
      await readKnownSheet(change.db, knownSheetId)
      await forgetKnownSheet(change, knownSheetId)
    })
    return {}
  },
} satisfies Partial<Handlers>
