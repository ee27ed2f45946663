/**
 * Which failures are worth another try, and how long to wait before each. On Windows a virus scanner, an indexer or a backup
 * program holds a file for a moment after it was written; renaming or removing it then fails with one of these, and succeeds a
 * little later. Elsewhere open files do not stand in the way, and the same codes mean what they say.
 * Source: Microsoft Learn, System Error Codes: ERROR_ACCESS_DENIED 5, ERROR_SHARING_VIOLATION 32, ERROR_LOCK_VIOLATION 33, which
 * libuv (src/win/error.c) gives as EPERM or EACCES, EBUSY, EBUSY.
 */
export type RetryPolicy = { readonly codes: ReadonlySet<string>; readonly waitsMs: readonly number[] }

/** Together two seconds: longer than scanners hold a file of ours, shorter than a painter's patience. */
const waitsMs = [10, 20, 40, 80, 150, 250, 350, 500, 600]

export const policyOn = (platform: NodeJS.Platform): RetryPolicy =>
  platform === 'win32' ? { codes: new Set(['EBUSY', 'EPERM', 'EACCES']), waitsMs } : { codes: new Set(), waitsMs: [] }

/** How long to wait before trying again, or null when the failure is final. @param failed tries that have failed, from 1 */
export function waitBefore(policy: RetryPolicy, failed: number, error: unknown): number | null {
  const code = (error as { code?: unknown } | null)?.code
  if (typeof code !== 'string' || !policy.codes.has(code)) return null
  return policy.waitsMs[failed - 1] ?? null
}

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms))

/** Does `work`, again after a while where somebody else may have held the file. @throws the last failure */
export async function withRetries<T>(
  work: () => Promise<T>,
  policy: RetryPolicy = policyOn(process.platform),
  wait: (ms: number) => Promise<void> = pause,
): Promise<T> {
  for (let failed = 1; ; failed++) {
    try {
      return await work()
    } catch (error) {
      const ms = waitBefore(policy, failed, error)
      if (ms === null) throw error
      await wait(ms)
    }
  }
}
