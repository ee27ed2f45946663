import type { Input } from '../../shared-core/contract/calls.ts'
import { client } from '../client/client.ts'
import { useStore } from './store.ts'

type Kind = Input<'app.reportError'>['kind']

/** The same fault is told once within this time: a fault in drawing comes with every frame. */
const sameMs = 60_000
/** So many different ones within it; the rest would only hide the first. */
const most = 10
let told = new Map<string, number>()

/** For tests: nothing was told yet. */
export function forgetReports(): void {
  told = new Map()
}

/**
 * Keeps a fault of the page in this computer's log. Never throws, and waits for nothing.
 * @returns the reference of its entry, or null when it was not written
 */
export async function report(kind: Kind, error: unknown, more = ''): Promise<string | null> {
  try {
    const { name, message, stack } = describe(error)
    const key = `${kind} ${name} ${message}`
    const now = Date.now()
    told = new Map([...told].filter(([, at]) => now - at < sameMs))
    if (told.has(key) || told.size >= most) return null
    told.set(key, now)
    const place = useStore.getState().route.at
    const answer = await client().call('app.reportError', {
      kind,
      place,
      name: name.slice(0, 100),
      message: message.slice(0, 2000),
      stack: `${stack}\n${more}`.slice(0, 8000),
    })
    return answer.ok ? answer.value.reference : null
  } catch {
    return null // reporting a fault must not be the next one
  }
}

function describe(error: unknown): { name: string; message: string; stack: string } {
  if (error instanceof Error) return { name: error.name, message: error.message, stack: error.stack ?? '' }
  return { name: 'Thrown', message: typeof error === 'string' ? error : `a ${typeof error}`, stack: '' }
}

/** Faults that no component catches, broken promises, and what the security policy refused. @returns a function that ends it */
export function hearFaults(): () => void {
  const onError = ({ error, message }: ErrorEvent) => {
    // the browser says so when a box is measured twice in a frame: nothing is wrong
    if (!message.startsWith('ResizeObserver loop')) void report('script', error ?? message)
  }
  const onPromise = ({ reason }: PromiseRejectionEvent) => void report('promise', reason)
  const onPolicy = ({ effectiveDirective, blockedURI, sourceFile, lineNumber }: SecurityPolicyViolationEvent) => {
    const what = /^[a-z-]+$/.test(blockedURI) ? blockedURI : (/^[a-z-]+:/.exec(blockedURI)?.[0] ?? 'something')
    const where = `    at page (${sourceFile}:${lineNumber}:1)`
    void report(
      'policy',
      Object.assign(new Error(`${effectiveDirective} refused ${what}`), { name: 'Policy', stack: where }),
    )
  }
  addEventListener('error', onError)
  addEventListener('unhandledrejection', onPromise)
  document.addEventListener('securitypolicyviolation', onPolicy)
  return () => {
    removeEventListener('error', onError)
    removeEventListener('unhandledrejection', onPromise)
    document.removeEventListener('securitypolicyviolation', onPolicy)
  }
}
