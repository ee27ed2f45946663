import { access } from 'node:fs/promises'
import { describeRack } from '../../rack/queries/rack-info.ts'
import { suggestFolder } from '../current-rack.ts'
import type { Handlers } from '../dispatch.ts'

const exists = (path: string) =>
  access(path).then(
    () => true,
    () => false,
  )

/** Racks: making, opening, closing. */
export const rackHandlers = {
  'rack.suggestFolder': async ({ name }) => ({ folder: await suggestFolder(name, exists) }),
  'rack.create': async ({ folder, name }, { current }) => current.create(folder, name),
  'rack.open': async ({ folder }, { current }) => current.open(folder),
  'rack.makeDemonstration': async ({ folder }, { current }) => ({ jobId: await current.demonstrate(folder) }),
  'rack.close': async (_, { current }) => {
    await current.close()
    return {}
  },
  'rack.describe': async (_, { current }) => {
    const rack = current.get()
    return { rack: rack && (await rack.read((db) => describeRack(db, rack.folder))) }
  },
  'rack.listRecent': async (_, { appFiles }) => ({ racks: await appFiles.listRecent() }),
  'rack.forgetRecent': async ({ folder }, { appFiles }) => {
    await appFiles.forgetRecent(folder)
    return {}
  },
} satisfies Partial<Handlers>
