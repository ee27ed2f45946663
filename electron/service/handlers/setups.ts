import type { Rack } from '../../rack/opening/open.ts'
import { saveLayout, withoutLostSteps } from '../../rack/queries/layouts.ts'
import { readPhotoRecord } from '../../rack/queries/photos.ts'
import { changeSetup, keepCalibration, listSetups, readSetup, removeSetup } from '../../rack/queries/setups.ts'
import { mustBeLight } from '../../rack/queries/shelf.ts'
import type { Handlers } from '../dispatch.ts'
import { calibrateOriginal } from '../originals.ts'

/** Camera, light and settings of photos, calibrated with a chart. */
export const setupHandlers = {
  'setups.list': async (_, context) => ({ setups: await listSetups(context.rack().db) }),
  'setups.calibrate': async (input, context) => {
    const rack = context.rack()
    const { name, lightId, layout } = input
    const photo = await whatIsCalibrated(rack.db, input)
    const { fit, cautions } = await calibrateOriginal(rack, photo, layout)
    const setup = await rack.change({ label: `calibrate set-up ${name}` }, async (change) => {
      // reading a chart takes a while, in which any of them may have gone
      await whatIsCalibrated(change.db, input)
      await saveLayout(change, photo, await withoutLostSteps(change.db, layout))
      const calibration = { name, camera: photo.exposure.camera, lightId, photoId: photo.id, fit }
      return readSetup(change.db, await keepCalibration(change, input.setupId, calibration))
    })
    return { setup, cautions }
  },
  'setups.change': async ({ setupId, ...to }, context) => {
    const rack = context.rack()
    const { name } = await readSetup(rack.db, setupId)
    return rack.change({ label: `change set-up ${name}` }, async (change) => {
      await readSetup(change.db, setupId)
      await mustBeLight(change.db, to.lightId ?? null)
      await changeSetup(change, setupId, to)
      return { setup: await readSetup(change.db, setupId) }
    })
  },
  'setups.remove': async ({ setupId }, context) => {
    const rack = context.rack()
    const { name } = await readSetup(rack.db, setupId)
    await rack.change({ label: `remove set-up ${name}` }, async (change) => {
      await readSetup(change.db, setupId)
      await removeSetup(change, setupId)
    })
    return {}
  },
} satisfies Partial<Handlers>

type Meant = { photoId: string; setupId: string | null; lightId: string | null }

/** @throws Refusal when the photo, the set-up that is calibrated again, or the light is not there */
async function whatIsCalibrated(db: Rack['db'], { photoId, setupId, lightId }: Meant) {
  const photo = await readPhotoRecord(db, photoId)
  if (setupId !== null) await readSetup(db, setupId)
  await mustBeLight(db, lightId)
  return photo
}
