import { hostOnly } from '../../../shared-core/contract/app-calls.ts'
import { calls } from '../../../shared-core/contract/calls.ts'

/** The largest call of a page: a hundred thousand ids. */
export const callBytes = 5 * 1024 ** 2

/** Whether a page may make this call; the rest is for hosts, or does not exist. */
export const mayCall = (name: unknown): name is string =>
  typeof name === 'string' && Object.hasOwn(calls, name) && !hostOnly.has(name)
