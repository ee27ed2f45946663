import './rack-banner.css'
import type { Access } from '../../shared-core/records/rack.ts'
import { closeRack } from '../commands/app/close-rack.ts'
import { copyHere } from '../commands/app/copy-here.ts'
import { keepBoth } from '../commands/app/keep-both.ts'
import { readAgain } from '../commands/app/read-again.ts'
import { pressingCaution } from '../commands/command.ts'
import { CommandButton } from '../parts/command-button.tsx'
import { Triangle } from '../parts/icons.tsx'
import { sayDay } from '../parts/say-numbers.ts'
import { sayTime } from '../parts/say-time.ts'
import { act, refreshRack } from '../state/asking.ts'
import { useStore } from '../state/store.ts'

/** Below the bar: why nothing can be changed at the moment, and what helps. Nothing stands there otherwise. */
export function RackBanner() {
  const trouble = useStore(pressingCaution)
  const access = useStore((s) => s.rack?.access)
  if (trouble) return <Trouble {...trouble} />
  return access?.mode === 'reading' ? <OnlyLookedAt access={access} /> : null
}

function Trouble({ code, message, remedy }: { code: string; message: string; remedy: string }) {
  return (
    <section className="rack-banner" role="alert">
      <Triangle />
      <p>
        <b>{message}</b> {remedy}
      </p>
      <div className="rack-banner-acts">
        {code === 'rack/replaced' ? <CommandButton command={keepBoth} look="main" /> : null}
        {code === 'rack/drive-gone' ? (
          <button type="button" className="btn" onClick={() => void refreshRack()}>
            Look again
          </button>
        ) : null}
        <CommandButton command={closeRack} look={code === 'rack/taken-over' ? '' : 'plain'} />
      </div>
    </section>
  )
}

const because: Record<NonNullable<Access['why']>, string> = {
  network: 'It lies on a network, where a rack is not safe to change.',
  unknown: 'A program serves its folder, and nobody says whether it lies on this computer.',
  'read-only': 'Nothing can be written where it lies.',
  'in-use': 'It is open elsewhere.',
}

const isToday = (at: string): boolean => new Date(at).toDateString() === new Date().toDateString()

function OnlyLookedAt({ access }: { access: Access }) {
  const settings = useStore((s) => s.settings)
  const folder = useStore((s) => s.rack?.folder ?? '')
  const isLocal = async () => {
    if (await act('rack.open', { folder, how: 'local' })) await refreshRack()
  }
  const tryFully = async () => {
    if (await act('rack.open', { folder })) await refreshRack()
  }
  return (
    <section className="rack-banner" aria-label="How this rack is open">
      <p>
        <b>You are only looking at this rack.</b> {access.why === null ? '' : because[access.why]}{' '}
        {access.asOf === null ? null : (
          <span>
            Read {isToday(access.asOf) ? 'at' : `${sayDay(access.asOf)},`} {sayTime(access.asOf, settings)}.
          </span>
        )}
      </p>
      <div className="rack-banner-acts">
        <CommandButton command={copyHere} />
        {access.why === 'unknown' ? (
          <button type="button" className="btn" onClick={() => void isLocal()}>
            It lies on this computer
          </button>
        ) : null}
        {access.why === 'in-use' ? (
          <button
            type="button"
            className="btn"
            title="Opens it with full rights, once it is closed elsewhere"
            onClick={() => void tryFully()}
          >
            Open it fully
          </button>
        ) : null}
        <CommandButton command={readAgain} look="plain" />
      </div>
    </section>
  )
}
