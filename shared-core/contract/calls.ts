import { z } from 'zod'
import { JobReport } from '../records/job.ts'
import { appCalls } from './app-calls.ts'
import { archiveCalls } from './archive-calls.ts'
import { backupCalls } from './backup-calls.ts'
import { checkCalls } from './check-calls.ts'
import { cupCalls } from './cup-calls.ts'
import { customerJobCalls } from './customer-job-calls.ts'
import { exchangeCalls } from './exchange-calls.ts'
import { filmCalls } from './film-calls.ts'
import { historyCalls } from './history-calls.ts'
import { knownSheetCalls } from './known-sheet-calls.ts'
import { mapCalls } from './map-calls.ts'
import { matchCalls } from './match-calls.ts'
import { panelCalls } from './panel-calls.ts'
import { panelsCsvCalls } from './panels-csv-calls.ts'
import { phoneCalls } from './phone-calls.ts'
import { photoCalls } from './photo-calls.ts'
import { proposalCalls } from './proposal-calls.ts'
import { rackCalls } from './rack-calls.ts'
import { setupCalls } from './setup-calls.ts'
import { sheetCalls } from './sheet-calls.ts'
import { shelfCalls } from './shelf-calls.ts'
import { sideCalls } from './side-calls.ts'
import { watchCalls } from './watch-calls.ts'

/** Every call there is. Handlers, both hosts, the client and the contract tests are driven from this list. */
export const calls = {
  ...appCalls,
  ...rackCalls,
  ...historyCalls,
  ...backupCalls,
  ...archiveCalls,
  ...checkCalls,
  ...panelCalls,
  ...photoCalls,
  ...proposalCalls,
  ...watchCalls,
  ...phoneCalls,
  ...knownSheetCalls,
  ...setupCalls,
  ...mapCalls,
  ...matchCalls,
  ...sideCalls,
  ...exchangeCalls,
  ...panelsCsvCalls,
  ...sheetCalls,
  ...filmCalls,
  ...shelfCalls,
  ...cupCalls,
  ...customerJobCalls,
}

export type Calls = typeof calls
export type CallName = keyof Calls
export type Input<N extends CallName> = z.infer<Calls[N]['input']>
export type Output<N extends CallName> = z.infer<Calls[N]['output']>

/** Failures that any call can meet. */
export const commonErrors = [
  'unexpected',
  'service/stopped',
  'service/bad-input',
  'rack/none-open',
  'rack/taken-over',
  'rack/disk-full',
  'rack/drive-gone',
  'rack/replaced',
  'rack/reading-only',
] as const
export type ErrorCode<N extends CallName> = Calls[N]['errors'][number] | (typeof commonErrors)[number]

/** An expected failure: what happened, in trade words, and what to do next. */
export type Failure<C extends string = string> = { code: C; message: string; remedy: string }

/** What a call comes back with. */
export type Answered<N extends CallName> = { ok: true; value: Output<N> } | { ok: false; error: Failure<ErrorCode<N>> }

/** Events, named in the past tense. */
export const events = {
  'job.progressed': JobReport,
  /** Something in the rack changed; whoever shows it asks again. */
  'rack.changed': z.object({ revision: z.int() }),
  /** More photos of the tray were looked at, or one anew; whoever shows proposals asks again. The rack is as it was. */
  'proposals.made': z.object({}),
  /** Phone to tray was turned on or off, a phone came or went, or a picture came in; whoever shows it asks `phone.state`. */
  'phone.changed': z.object({}),
  'rack.opened': z.object({}),
  'rack.closed': z.object({}),
  'settings.changed': z.object({}),
  /**
   * Sent by the host after the service ended and was started again. `endedByRack`: opening the rack that was open is what
   * ended it, so that it was left closed.
   */
  'service.restarted': z.object({ why: z.string(), rackReopened: z.boolean(), endedByRack: z.boolean().optional() }),
  /** Sent by the host: the service ended again and again and is not started any more until somebody asks for it. */
  'service.gaveUp': z.object({ why: z.string(), withRack: z.boolean() }),
}
export type EventName = keyof typeof events
export type Event = { [N in EventName]: { name: N; data: z.infer<(typeof events)[N]> } }[EventName]

/** Messages between a host and the service. */
export type Ask = { id: number; name: string; input: unknown }
export type Answer = { id: number; ok: true; value: unknown } | { id: number; ok: false; error: Failure }
export type FromService = { answer: Answer } | { event: Event }
