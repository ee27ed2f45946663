import { useStore } from '../../../state/store.ts'
import { keepSettings } from '../../settings/keep-settings.ts'

/** Whether everything is looked through by itself. */
export function WeeklyBlock() {
  const weekly = useStore((s) => s.settings.weeklyCheck)
  return (
    <section className="block" aria-label="Every week">
      <h2>Every week</h2>
      <label className="check">
        <input
          type="checkbox"
          checked={weekly}
          onChange={(event) => void keepSettings({ weeklyCheck: event.target.checked })}
        />
        Look through everything once a week
      </label>
      <p className="fine">
        Gently, one file at a time, while you work: it waits for photos that come in, and goes on where it stopped when
        the rack is opened again. It says something only when something is wrong.
      </p>
    </section>
  )
}
