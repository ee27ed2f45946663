import type { Client } from '../../renderer/client/client.ts'
import {
  type Answered,
  type CallName,
  calls,
  commonErrors,
  type Event,
  events,
  type Failure,
  type Input,
  type Output,
} from '../../shared-core/contract/calls.ts'
import type { Capabilities } from '../../shared-core/contract/host.ts'
import type { PhoneState } from '../../shared-core/contract/phone-calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { noFilter, type PanelSummary } from '../../shared-core/records/panel.ts'

/** What the fake service answers: a function for each call that a test expects; it throws a Refusal to fail in words. */
export type Answers = { [N in CallName]?: (input: Input<N>) => Output<N> | Promise<Output<N>> }

export type FakeClient = Client & {
  /** Every call asked so far. */
  readonly asked: { name: CallName; input: unknown }[]
  /** Inputs of one call, in order. */
  askedOf<N extends CallName>(name: N): Input<N>[]
  /** Sends an event, as a host does. */
  tell(event: Event): void
  /** Changes what is answered from now on. */
  answer(more: Answers): void
}

/** Every page asks whether phones can send pictures; mostly they cannot. */
export const phoneOff: PhoneState = {
  isOn: false,
  address: null,
  link: null,
  symbol: [],
  linkUntil: null,
  closesAt: null,
  phones: [],
  isFull: false,
  pictures: [],
  said: null,
}

const window: Capabilities = { kind: 'window', canPickFolder: true, canPrint: true, canOpenLogs: true }

/**
 * A client driven by the contract: inputs, outputs, error codes and events are checked against it, so that a screen
 * tested here cannot drift from what the service accepts. A call that the table does not name fails the test.
 */
export function fakeClient(
  table: Answers,
  capabilities: Capabilities = window,
  folder: string | null = null,
): FakeClient {
  const asked: FakeClient['asked'] = []
  const listeners = new Set<(event: Event) => void>()
  let answers = table

  async function call<N extends CallName>(name: N, input: Input<N>): Promise<Answered<N>> {
    const shape = calls[name]
    asked.push({ name, input: shape.input.parse(input) })
    const known: Answers = { ...summariesOf(answers), 'phone.state': () => phoneOff, ...answers }
    const answer = known[name]
    if (!answer) throw new Error(`the test’s table does not answer ${name}`)
    try {
      return { ok: true, value: shape.output.parse(await answer(input)) as Output<N> }
    } catch (error) {
      if (!(error instanceof Refusal)) throw error
      return { ok: false, error: failureOf(name, error) } as Answered<N>
    }
  }

  return {
    capabilities,
    asked,
    askedOf: <N extends CallName>(name: N) => asked.filter((a) => a.name === name).map((a) => a.input as Input<N>),
    tell(event) {
      events[event.name].parse(event.data)
      for (const listener of listeners) listener(event)
    },
    answer(more) {
      answers = { ...answers, ...more }
    },
    call,
    onEvent(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    pictureUrl: (key) => `/picture/${key}`,
    stage: async (file) => `/staged/${file.name}`,
    pickFolder: async () => folder,
    pickSave: async (_, fileName) => (folder === null ? null : `${folder}/${fileName}`),
    printLabels: async () => null,
    openDocument: async () => null,
    viewDocument: async () => null,
    details: async () => 'Overground 0.1.0 in a test',
    openLogs: async () => null,
    openLink: async () => null,
  }
}

/** Summaries are those of the panels that the table lists, where it does not answer for them itself. */
function summariesOf(answers: Answers): Answers {
  const list = answers['panels.list']
  if (!list) return {}
  return {
    'panels.summaries': async ({ ids, stepIds = [] }) => {
      const { panels } = await list({ filter: noFilter, sort: 'code' })
      const isMeant = (panel: PanelSummary) =>
        ids.includes(panel.id) || panel.bands.some(({ stepId }) => stepIds.includes(stepId))
      return { panels: panels.filter(isMeant) }
    },
  }
}

/** Only codes that the call declares may come back. */
function failureOf(name: CallName, { code, message, remedy }: Refusal): Failure {
  const declared: readonly string[] = [...calls[name].errors, ...commonErrors]
  if (!declared.includes(code)) throw new Error(`${name} does not declare ${code}`)
  return { code, message, remedy }
}
