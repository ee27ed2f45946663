import { createHash, randomUUID } from 'node:crypto'
import { type FileHandle, open, rename, rm } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { syncFolder } from '../../disk/durable.ts'
import { openOrdinary } from '../../disk/ordinary-file.ts'
import { withRetries } from '../../disk/with-retries.ts'

/** The file is not what its name or its facts say. */
export class OtherBytes extends Error {}

const pieceBytes = 1 << 20

/**
 * Copies a file so that it appears under its name only when it is whole and durable there. Its bytes are compared with what they
 * should be while they pass.
 * @throws OtherBytes when the source is damaged; nothing is left then
 */
export async function copyVerified(
  source: string,
  target: string,
  sha256: string,
  { signal, onBytes }: { signal?: AbortSignal; onBytes?: (count: number) => void } = {},
): Promise<void> {
  // a leading point and this ending: programs that keep folders in step leave such files alone
  const temporary = join(dirname(target), `.${randomUUID()}.part`)
  try {
    const hash = createHash('sha256')
    await reading(source, async (from) => {
      const to = await open(temporary, 'wx')
      try {
        const piece = Buffer.allocUnsafe(pieceBytes)
        for (;;) {
          signal?.throwIfAborted()
          const { bytesRead } = await from.read(piece, 0, pieceBytes, null)
          if (bytesRead === 0) break
          const bytes = piece.subarray(0, bytesRead)
          hash.update(bytes)
          await to.writeFile(bytes)
          onBytes?.(bytesRead)
        }
        await to.sync()
      } finally {
        await to.close()
      }
    })
    if (hash.digest('hex') !== sha256) throw new OtherBytes(source)
    await withRetries(() => rename(temporary, target))
    await syncFolder(dirname(target))
  } finally {
    await rm(temporary, { force: true })
  }
}

async function reading(path: string, work: (handle: FileHandle) => Promise<void>): Promise<void> {
  const handle = await openOrdinary(path)
  try {
    await work(handle)
  } finally {
    await handle.close()
  }
}
