import type { ComponentProps, ReactNode } from 'react'
import { barred, isOnlyLookedAt, onlyLookedAt } from '../commands/command.ts'
import { useStore } from '../state/store.ts'

/** Fields that only serve changing the rack: read, and not written to, while it is only looked at. */
export function ChangeFields({ children }: { children: ReactNode }) {
  const only = useStore(isOnlyLookedAt)
  return (
    <fieldset className="change-fields" disabled={only} title={only ? onlyLookedAt : undefined}>
      {children}
    </fieldset>
  )
}

/** A button that changes the rack, or leads to a form that does: says beforehand when that cannot be. */
export function ChangeButton({ onClick, title, ...rest }: ComponentProps<'button'>) {
  const why = useStore(barred)
  return (
    <button
      type="button"
      {...rest}
      title={why ?? title}
      aria-disabled={why === null ? rest['aria-disabled'] : true}
      onClick={(event) => {
        if (why === null) return onClick?.(event)
        event.preventDefault()
        useStore.getState().say(why)
      }}
    />
  )
}

/** For what is dropped or pasted: says why it cannot be taken in. @returns whether it can */
export function canChange(): boolean {
  const state = useStore.getState()
  const why = barred(state)
  if (why !== null) state.say(why)
  return why === null
}
