import { access } from 'node:fs/promises'
import { describeRack, listHistory } from '../../rack/queries/rack-info.ts'
import { suggestFolder } from '../current-rack.ts'
import type { Handlers } from '../dispatch.ts'

const exists = (path: string) =>
  access(path).then(
    () => true,
    () => false,
  )

/** Racks, undo and history. */
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
  'history.undo': async (_, context) => ({ label: (await context.rack().undo()).label }),
  'history.redo': async (_, context) => ({ label: (await context.rack().redo()).label }),
  'history.list': async ({ panelId, limit }, context) => ({
    entries: await listHistory(context.rack().db, panelId, limit),
  }),
} satisfies Partial<Handlers>
