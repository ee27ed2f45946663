import { createHash } from 'node:crypto'
import { constants } from 'node:fs'
import { lstat, open, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { namesFrom } from '../../../rack/archive/file-words.ts'
import { databaseName, memberOf } from '../../../rack/archive/form.ts'
import { type Archive, openArchive } from '../../../rack/archive/open-archive.ts'
import { archiveAbsent } from '../../../rack/archive/refusals.ts'
import { askWorker, mostWorkMs } from '../../../rack/archive/worker/ask-worker.ts'
import { type HolderSeen, whoHolds } from '../../../rack/opening/lock.ts'
import { folderAbsent, notARack } from '../../../rack/refusals.ts'

/** Where a rack is taken in from: an archive, or another rack's folder. It is only read. */
export type Source = {
  /** Copies the records to `path` and proves the copy. @returns the form that it was brought from, if any */
  records(path: string, signal: AbortSignal): Promise<number | null>
  /** How large an original or a data sheet is; null where it is not there. What the records say of it is not asked. */
  sizeOf(name: string): Promise<number | null>
  /** Its bytes, if they are those that its name says. @returns false where it is not there or was altered */
  read(name: string, take: (piece: Buffer) => Promise<void> | void, signal: AbortSignal): Promise<boolean>
  /** Who has it open at the moment, in words. */
  readonly heldBy: string | null
  /** Changes when what it holds may have changed. */
  readonly fingerprint: string
  close(): Promise<void>
}

/** @throws Refusal as `openArchive`; `rack/folder-absent`, `rack/not-a-rack` */
export async function openSource(path: string, signal?: AbortSignal): Promise<Source> {
  const facts = await stat(path).catch(() => null)
  if (!facts) throw path.endsWith('.zip') ? archiveAbsent(path) : folderAbsent(path)
  return facts.isDirectory() ? openFolder(path) : fromArchive(await openArchive(path, signal))
}

function fromArchive(archive: Archive): Source {
  const members = new Map(archive.manifest.members.map((member) => [member.name, member]))
  return {
    records: async (path, signal) => {
      const member = members.get(databaseName)
      if (!member) throw new Error('An archive without records was opened')
      const file = await open(path, 'wx', 0o600)
      try {
        await archive.read(member, (piece) => file.writeFile(piece), signal)
      } finally {
        await file.close()
      }
      const { broughtFrom } = await askWorker('prove', { path }, signal, mostWorkMs(member.byteCount))
      archive.nameBy(namesFrom(path))
      return broughtFrom
    },
    sizeOf: async (name) => {
      const member = members.get(name)
      return member && !member.damaged ? member.byteCount : null
    },
    read: async (name, take, signal) => {
      const member = members.get(name)
      if (!member || member.damaged) return false
      await archive.read(member, take, signal)
      return member.sha256 === shaIn(name)
    },
    heldBy: null,
    fingerprint: archive.fingerprint,
    close: () => archive.close(),
  }
}

const shaIn = (name: string): string => {
  const file = memberOf(name)
  return file === null || file === 'plain' ? '' : file.sha256
}

const pieceBytes = 1 << 20

async function openFolder(folder: string): Promise<Source> {
  const database = await lstat(join(folder, databaseName)).catch(() => null)
  if (!database?.isFile()) throw notARack(folder, 'it holds no rack.sqlite')
  const holder = await whoHolds(folder).catch(() => null)
  const heldBy = holder === null ? null : holder === 'unreadable' ? 'somebody' : holderInWords(holder)
  return {
    records: async (path, signal) =>
      (
        await askWorker(
          'copyAndProve',
          { folder, path },
          signal,
          mostWorkMs((await stat(join(folder, databaseName))).size),
        )
      ).broughtFrom,
    sizeOf: async (name) => {
      const facts = await lstat(join(folder, name)).catch(() => null)
      return facts?.isFile() ? facts.size : null
    },
    read: async (name, take, signal) => {
      if (shaIn(name) === '') return false
      // neither a link nor a pipe is followed, whatever lies there under a photo's name
      const facts = await lstat(join(folder, name)).catch(() => null)
      if (!facts?.isFile()) return false
      const file = await open(join(folder, name), constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0)).catch(() => null)
      if (!file) return false
      try {
        const hash = createHash('sha256')
        for (;;) {
          signal.throwIfAborted()
          const piece = Buffer.allocUnsafe(pieceBytes)
          const { bytesRead } = await file.read(piece, 0, pieceBytes, null)
          if (bytesRead === 0) break
          hash.update(piece.subarray(0, bytesRead))
          await take(piece.subarray(0, bytesRead))
        }
        return hash.digest('hex') === shaIn(name)
      } finally {
        await file.close()
      }
    },
    heldBy,
    fingerprint: await markOf(folder),
    close: () => Promise.resolve(),
  }
}

const holderInWords = ({ here, holder }: HolderSeen): string => (here ? 'another window on this computer' : holder.host)

async function markOf(folder: string): Promise<string> {
  const marks = await Promise.all(
    ['', '-wal'].map(async (tail) => {
      const facts = await stat(join(folder, databaseName + tail)).catch(() => null)
      return facts ? `${facts.size} ${facts.mtimeMs}` : ''
    }),
  )
  return marks.join(' ')
}
