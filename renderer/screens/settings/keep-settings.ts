import type { Settings } from '../../../shared-core/records/settings.ts'
import { act } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'

/** Keeps a change at once and shows it at once; what could not be kept goes back to what it was. */
export async function keepSettings(change: Partial<Settings>): Promise<void> {
  const { settings, setSettings } = useStore.getState()
  const wanted = { ...settings, ...change }
  setSettings(wanted)
  const kept = await act('settings.save', { settings: wanted })
  setSettings(kept ? kept.settings : settings)
}
