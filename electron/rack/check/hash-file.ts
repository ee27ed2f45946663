import { createHash } from 'node:crypto'
import { closeSync, fstatSync, openSync, readSync } from 'node:fs'

export type Hashed =
  | { is: 'read'; sha256: string; byteCount: number }
  | { is: 'absent' }
  /** Too short or too long already, so that it was not read. */
  | { is: 'other-size'; byteCount: number }
  | { is: 'unreadable'; code: string }

const pieceBytes = 1 << 20

/**
 * The hash of a file, read piece by piece. Synchronous: it runs in a worker, so that hashing never takes the service's
 * own time. Never to be used on an open database: closing a file frees every lock that the process has on it.
 */
export function hashFile(path: string, byteCount: number | null): Hashed {
  let file: number
  try {
    file = openSync(path, 'r')
  } catch (error) {
    return failed(error)
  }
  try {
    const { size } = fstatSync(file)
    if (byteCount !== null && size !== byteCount) return { is: 'other-size', byteCount: size }
    const hash = createHash('sha256')
    const piece = Buffer.allocUnsafe(Math.min(pieceBytes, Math.max(1, size)))
    let total = 0
    for (;;) {
      const read = readSync(file, piece, 0, piece.length, null)
      if (read === 0) break
      hash.update(piece.subarray(0, read))
      total += read
    }
    return { is: 'read', sha256: hash.digest('hex'), byteCount: total }
  } catch (error) {
    return failed(error)
  } finally {
    closeSync(file)
  }
}

function failed(error: unknown): Hashed {
  const code = (error as { code?: string }).code ?? ''
  return code === 'ENOENT' || code === 'ENOTDIR' ? { is: 'absent' } : { is: 'unreadable', code }
}
