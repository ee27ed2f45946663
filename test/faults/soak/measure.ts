import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { bytesOf, filesBelow, leftovers } from '../kit/inspect.ts'
import type { Place } from '../kit/shop-service.ts'

/** What a service and its rack take up at a moment of rest. */
export type Sample = {
  changes: number
  rssMb: number
  handles: number
  threads: number
  databaseMb: number
  logMb: number
  halfDone: number
  backups: number
  appFiles: number
}

/** @returns null on systems that do not tell (only Linux has /proc) */
export function measure(pid: number, place: Place, changes: number): Sample | null {
  if (!existsSync(`/proc/${pid}/status`)) return null
  const status = readFileSync(`/proc/${pid}/status`, 'utf8')
  const kilobytes = Number(/^VmRSS:\s+(\d+)/m.exec(status)?.[1])
  return {
    changes,
    rssMb: kilobytes / 1024,
    handles: readdirSync(`/proc/${pid}/fd`).length,
    threads: Number(/^Threads:\s+(\d+)/m.exec(status)?.[1]),
    databaseMb: bytesOf(join(place.rack, 'rack.sqlite')) / 1e6,
    logMb: bytesOf(join(place.rack, 'rack.sqlite-wal')) / 1e6,
    // while a rack is open its lock lies there, and a backup may be under way
    halfDone: leftovers(place.rack, place.home).length,
    backups: filesBelow(join(place.rack, 'backups')).length,
    appFiles: filesBelow(place.home).length,
  }
}

/** Slope of a line through the points, by least squares, in y for each x. */
export function slope(points: readonly (readonly [number, number])[]): number {
  const n = points.length
  const meanX = points.reduce((sum, [x]) => sum + x, 0) / n
  const meanY = points.reduce((sum, [, y]) => sum + y, 0) / n
  const above = points.reduce((sum, [x, y]) => sum + (x - meanX) * (y - meanY), 0)
  const below = points.reduce((sum, [x]) => sum + (x - meanX) ** 2, 0)
  return below === 0 ? 0 : above / below
}
