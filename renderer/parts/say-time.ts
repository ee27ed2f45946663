import type { Settings } from '../../shared-core/records/settings.ts'

/** "14:30" or "2:30 pm", as the settings or the system say; local time. @param at ISO 8601 */
export function sayTime(at: string, settings: Pick<Settings, 'clock'>): string {
  const how: Intl.DateTimeFormatOptions = { hour: 'numeric', minute: '2-digit' }
  if (settings.clock !== 'system') how.hour12 = settings.clock === '12'
  return new Date(at).toLocaleTimeString(undefined, how)
}
