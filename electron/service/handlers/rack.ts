import { access } from 'node:fs/promises'
import type { RackHolder } from '../../../shared-core/contract/rack-calls.ts'
import { isQuiet, whoHolds } from '../../rack/opening/lock.ts'
import type { Handlers } from '../dispatch.ts'
import { suggestFolder } from '../place/folders.ts'

const exists = (path: string) =>
  access(path).then(
    () => true,
    () => false,
  )

/** Racks: making, opening, closing. */
export const rackHandlers = {
  'rack.suggestFolder': async ({ name }) => ({ folder: await suggestFolder(name, exists) }),
  'rack.create': async ({ folder, name }, { current }) => current.create(folder, name),
  'rack.open': async ({ folder, how, asItIs }, { current }) => current.open(folder, how, asItIs),
  'rack.whoHolds': async ({ folder }) => ({ holder: await whoHas(folder) }),
  'rack.takeOver': async ({ folder, nonce }, { current }) => current.takeOver(folder, nonce),
  'rack.findMoved': async ({ folder }, { current }) => ({
    found: (await current.findMoved(folder)).map(({ folder: path, name }) => ({ folder: path, name })),
  }),
  'rack.readAgain': async (_, { current }) => current.readAgain(),
  'rack.copyHere': async ({ folder }, { current }) => ({ jobId: await current.copyHere(folder) }),
  'rack.keepBoth': async (_, { current }) => current.keepBoth(),
  'rack.setKeptInSync': async ({ keptInSync }, { current }) => {
    await current.setKeptInSync(keptInSync)
    return {}
  },
  'rack.makeDemonstration': async ({ folder }, { current }) => ({ jobId: await current.demonstrate(folder) }),
  'rack.close': async (_, { current }) => {
    await current.close()
    return {}
  },
  'rack.describe': async (_, { current, backups, looks, log }) => {
    const [info, rack] = [await current.describe(), current.get()]
    const isGone = info?.cautions.some(({ code }) => code === 'rack/drive-gone')
    // nothing is then known of its backups either
    if (!info || !rack || isGone || info.access.mode === 'reading') return { rack: info }
    const more = await backups.cautions(rack).catch((error: unknown) => {
      log.unexpected(error, 'looking for backups')
      return []
    })
    return { rack: { ...info, cautions: [...info.cautions, ...looks.cautions(rack), ...more] } }
  },
  'rack.listRecent': async (_, { appFiles }) => ({ racks: await appFiles.listRecent() }),
  'rack.forgetRecent': async ({ folder }, { appFiles }) => {
    await appFiles.forgetRecent(folder)
    return {}
  },
} satisfies Partial<Handlers>

async function whoHas(folder: string): Promise<RackHolder | null> {
  const seen = await whoHolds(folder).catch(() => null)
  if (seen === null || seen === 'unreadable') return null
  const { holder, here, lastSign } = seen
  return {
    host: holder.host,
    here,
    pid: holder.pid,
    since: holder.openedAt,
    lastSign: lastSign?.toISOString() ?? null,
    nonce: holder.nonce,
    quiet: !here && isQuiet(lastSign),
  }
}
