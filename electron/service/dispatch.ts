import type { z } from 'zod'
import {
  type Answer,
  type CallName,
  calls,
  commonErrors,
  type Failure,
  type Input,
  type Output,
} from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { allowedWhileReading } from '../../shared-core/contract/while-reading.ts'
import { wellFormedThroughout } from '../../shared-core/words/well-formed.ts'
import { readingOnly } from '../rack/refusals.ts'
import type { Context } from './context.ts'
import { expectedFrom } from './expected.ts'

export type Handlers = { [N in CallName]: (input: Input<N>, context: Context) => Promise<Output<N>> }
type Reply = { ok: true; value: unknown } | { ok: false; error: Failure }

const isCall = (name: string): name is CallName => Object.hasOwn(calls, name)

/**
 * Answers one call: looks that what comes in is what the contract says, and that what goes out is. A refusal that the
 * call declares is a value; everything else that is thrown is a bug, logged once and answered as `unexpected`.
 */
export async function dispatch(name: string, input: unknown, context: Context, handlers: Handlers): Promise<Reply> {
  if (!isCall(name)) return refused(badInput(`There is no call “${name}”.`))
  const call = calls[name]
  if (isDeeperThan(input, deepest)) return refused(badInput('It is nested more deeply than any formula.'))
  const given = call.input.safeParse(wellFormedThroughout(input))
  if (!given.success) return refused(badInput(inWords(given.error)))
  const access = context.current.get()?.access
  if (access?.mode === 'reading' && call.kind !== 'query' && !allowedWhileReading.has(name))
    return refused(readingOnly(access.why))
  try {
    const handler = handlers[name] as (given: unknown, context: Context) => Promise<unknown>
    const value = await handler(given.data, context)
    const checked = call.output.safeParse(value)
    if (!checked.success)
      throw new Error(`What ${name} gave back is not what the contract says`, { cause: checked.error })
    return { ok: true, value: checked.data }
  } catch (error) {
    const expected = await expectedFrom(error, context.current.get())
    const declared: readonly string[] = [...call.errors, ...commonErrors]
    if (expected instanceof Refusal && declared.includes(expected.code)) return refused(expected)
    return { ok: false, error: context.log.unexpected(error, name, input) }
  }
}

/** A mixture in a mixture takes three levels, so this is a hundred of them; five times as many would end the service. */
const deepest = 300

function isDeeperThan(input: unknown, limit: number): boolean {
  let level: unknown[] = [input]
  for (let depth = 0; level.length > 0; depth++) {
    if (depth > limit) return true
    const next = level.flatMap((value) => (typeof value === 'object' && value !== null ? Object.values(value) : []))
    level = [...new Set<unknown>(next)]
  }
  return false
}

const refused = ({ code, message, remedy }: Refusal): Reply => ({ ok: false, error: { code, message, remedy } })

const badInput = (what: string) =>
  new Refusal('service/bad-input', `What was asked could not be understood. ${what}`, 'Check what was typed in.')

/** The first things wrong, each with its place: "draft.title: Too long". */
function inWords(error: z.ZodError): string {
  return error.issues
    .slice(0, 3)
    .map((issue) => (issue.path.length > 0 ? `${issue.path.join('.')}: ${sayIssue(issue)}.` : `${sayIssue(issue)}.`))
    .join(' ')
}

/** What is wrong with words that are typed too long, or not at all, as a painter would say it. */
function sayIssue(issue: z.core.$ZodIssue): string {
  if (issue.code === 'too_big' && issue.origin === 'string')
    return `longer than the ${issue.maximum} characters it may have`
  if (issue.code === 'too_small' && issue.origin === 'string') return 'nothing is written'
  return issue.message
}

export const answerTo = async (
  ask: { id: number; name: string; input: unknown },
  context: Context,
  handlers: Handlers,
): Promise<Answer> => ({ id: ask.id, ...(await dispatch(ask.name, ask.input, context, handlers)) })
