import { useEffect } from 'react'
import { useStore } from '../state/store.ts'
import { commands } from './all.ts'
import { type Command, whatIsMissing } from './command.ts'

const mac = typeof navigator !== 'undefined' && /mac/i.test(navigator.platform)

/** `Mod+Shift+z` of an event. */
export function chordOf(event: Pick<KeyboardEvent, 'key' | 'ctrlKey' | 'metaKey' | 'shiftKey' | 'altKey'>): string {
  const mod = mac ? event.metaKey : event.ctrlKey
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key
  return `${mod ? 'Mod+' : ''}${event.altKey ? 'Alt+' : ''}${event.shiftKey ? 'Shift+' : ''}${key}`
}

/** The chord in the words on the user's keys. */
export function chordInWords(chord: string): string {
  const named = chord.replace('Mod', mac ? '⌘' : 'Ctrl').split('+')
  return named.map((key) => (key.length === 1 ? key.toUpperCase() : key)).join(' ')
}

/** Text fields keep their own keys, undo included. */
function typesText(target: EventTarget | null): boolean {
  if (!(target instanceof HTMLElement)) return false
  if (target instanceof HTMLInputElement) return !['range', 'checkbox', 'radio', 'button', 'file'].includes(target.type)
  return target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement || target.isContentEditable
}

export function commandFor(chord: string, at: string, list: readonly Command[] = commands): Command | undefined {
  return list.find((command) => command.shortcut === chord && (command.place === 'any' || command.place === at))
}

/** Runs commands by their shortcuts, once for the whole page. */
export function useKeyboard(): void {
  useEffect(() => {
    const listen = (event: KeyboardEvent) => {
      if (event.defaultPrevented || typesText(event.target)) return
      if (document.querySelector('dialog[open], [role=dialog]')) return
      const state = useStore.getState()
      const command = commandFor(chordOf(event), state.route.at)
      if (!command || whatIsMissing(command, state) !== null) return
      event.preventDefault()
      void command.run(state)
    }
    addEventListener('keydown', listen)
    return () => removeEventListener('keydown', listen)
  }, [])
}
