import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { hostname, uptime } from 'node:os'
import { z } from 'zod'

/** Who holds a rack, as its lock file says. */
export const Holder = z.object({
  pid: z.int().positive(),
  host: z.string(),
  /** Two computers of one name are told apart by it; null where the system does not tell. */
  machine: z.string().nullish(),
  /** When the process began, in the system's own form: a process number alone is soon given to another. */
  processStart: z.string().nullable(),
  /** Changes each time the computer starts; null where the system does not tell. */
  boot: z.string().nullable(),
  /** Random, so that a service knows its own lock. */
  nonce: z.string(),
  openedAt: z.string(),
})
export type Holder = z.infer<typeof Holder>

function toldByLinux(path: string): string | null {
  if (process.platform !== 'linux') return null
  try {
    return readFileSync(path, 'utf8').trim() || null
  } catch {
    return null
  }
}

/** The kernel's boot id, or null on systems that have none. */
const bootId = (): string | null => toldByLinux('/proc/sys/kernel/random/boot_id')

/** machine-id(5). Elsewhere the system itself keeps host names apart on one network. */
const machineId = (): string | null => toldByLinux('/etc/machine-id')

/**
 * When a process began: field 22 of /proc/PID/stat on Linux (proc_pid_stat(5)), `ps` elsewhere; null where nobody tells.
 */
export function processStart(pid: number): string | null {
  if (process.platform === 'linux') {
    try {
      const stat = readFileSync(`/proc/${pid}/stat`, 'utf8')
      // the second field is the command in brackets and may itself hold blanks and brackets
      return stat.slice(stat.lastIndexOf(')') + 2).split(' ')[19] ?? null
    } catch {
      return null
    }
  }
  if (process.platform === 'win32') return null
  const { status, stdout } = spawnSync('ps', ['-o', 'lstart=', '-p', String(pid)], { encoding: 'utf8' })
  return status === 0 && stdout.trim() !== '' ? stdout.trim() : null
}

export const thisHolder = (nonce: string): Holder => ({
  pid: process.pid,
  host: hostname(),
  machine: machineId(),
  processStart: processStart(process.pid),
  boot: bootId(),
  nonce,
  openedAt: new Date().toISOString(),
})

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    // alive, but another user's
    return (error as { code?: string }).code === 'EPERM'
  }
}

export function isThisComputer(holder: Holder): boolean {
  if (holder.host !== hostname()) return false
  const machine = machineId()
  return !machine || !holder.machine || machine === holder.machine
}

/**
 * Whether it is certain that the holder is no more: on this computer, and the computer was started anew since, or the
 * process is gone, or its number now belongs to another process. A lock of another computer is never certain.
 */
export function isProvablyGone(holder: Holder): boolean {
  if (!isThisComputer(holder)) return false
  const boot = bootId()
  if (boot !== null && holder.boot !== null && boot !== holder.boot) return true
  // without a boot id: opened well before this computer started
  if (boot === null && Date.parse(holder.openedAt) < Date.now() - uptime() * 1000 - 60_000) return true
  if (!isAlive(holder.pid)) return true
  const start = processStart(holder.pid)
  return start !== null && holder.processStart !== null && start !== holder.processStart
}
