import { act, type ReactNode } from 'react'
import { createRoot, type Root } from 'react-dom/client'
import { useAsClient } from '../../renderer/client/client.ts'
import { useRackDialog } from '../../renderer/state/rack-dialog.ts'
import { useRackOrder } from '../../renderer/state/rack-order.ts'
import { useStore } from '../../renderer/state/store.ts'
import { useSummaries } from '../../renderer/state/summaries.ts'
import { type Answers, type FakeClient, fakeClient } from './fake-client.ts'
import { rackInfo } from './sample-rack.ts'

declare global {
  // React asks for this before it lets a test act
  var IS_REACT_ACT_ENVIRONMENT: boolean
}
globalThis.IS_REACT_ACT_ENVIRONMENT = true

const fresh = useStore.getState()
let root: Root | undefined

/** A fresh store, a fake client as the client, an open rack. */
export function prepare(table: Answers, client: FakeClient = fakeClient(table)): FakeClient {
  useStore.setState({ ...fresh, rack: rackInfo }, true)
  useRackOrder.setState({ order: null, error: null })
  useSummaries.setState({ folder: '', held: new Map(), turn: 0 })
  useRackDialog.setState({ open: null })
  history.replaceState(null, '', '/rack')
  useAsClient(client)
  return client
}

/** Shows a component and waits until its first answers are in. */
export async function show(what: ReactNode): Promise<HTMLElement> {
  const host = document.createElement('div')
  document.body.append(host)
  root = createRoot(host)
  await act(async () => root?.render(what))
  await settle()
  return host
}

export async function takeDown(): Promise<void> {
  await act(async () => root?.unmount())
  root = undefined
  document.body.replaceChildren()
}

/** Lets answers arrive and React draw them. */
export async function settle(): Promise<void> {
  await act(async () => {
    await new Promise((resolve) => setTimeout(resolve, 0))
  })
}

/** Lets what waits until the user rests (an address, a question that is asked late) go its way. */
export async function rest(): Promise<void> {
  await act(async () => {
    await new Promise((resolve) => setTimeout(resolve, 450))
  })
  await settle()
}

export async function click(element: Element | null | undefined, how: MouseEventInit = {}): Promise<void> {
  if (!element) throw new Error('nothing to click on')
  await act(async () => {
    element.dispatchEvent(new MouseEvent('click', { bubbles: true, cancelable: true, ...how }))
  })
  await settle()
}

/** Presses a key on what has the focus. */
export async function press(key: string, how: KeyboardEventInit = {}): Promise<void> {
  await act(async () => {
    document.activeElement?.dispatchEvent(
      new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true, ...how }),
    )
  })
  await settle()
}

/** Types over what stands in a field, as React hears it. */
export async function type(field: Element | null | undefined, text: string): Promise<void> {
  if (!(field instanceof HTMLInputElement)) throw new Error('nothing to type into')
  const value = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')
  await act(async () => {
    value?.set?.call(field, text)
    field.dispatchEvent(new Event('input', { bubbles: true }))
  })
  await settle()
}

/** The focus goes elsewhere. */
export async function leaveField(field: Element): Promise<void> {
  await act(async () => {
    field.dispatchEvent(new FocusEvent('focusout', { bubbles: true }))
  })
  await settle()
}

export function buttonSaying(host: ParentNode, words: string): HTMLButtonElement | undefined {
  return [...host.querySelectorAll('button')].find(
    (button) => (button.getAttribute('aria-label') ?? button.textContent)?.trim() === words,
  )
}
