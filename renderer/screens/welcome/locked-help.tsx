import { type ReactNode, useEffect, useState } from 'react'
import type { RackHolder } from '../../../shared-core/contract/rack-calls.ts'
import { client } from '../../client/client.ts'
import { Caution } from '../../parts/caution.tsx'
import { Dialog } from '../../parts/dialog.tsx'
import { sayDay } from '../../parts/say-numbers.ts'
import { sayTime } from '../../parts/say-time.ts'
import { useStore } from '../../state/store.ts'
import { openRack, takeOver, useRefused } from './refused.ts'

const askEveryMs = 10_000

/** Who has the rack, asked again now and then: a computer that is at work gives signs of life. */
function useHolder(folder: string): RackHolder | null | undefined {
  const [holder, setHolder] = useState<RackHolder | null | undefined>(undefined)
  useEffect(() => {
    let here = true
    const ask = async () => {
      const answer = await client().call('rack.whoHolds', { folder })
      if (here) setHolder(answer.ok ? answer.value.holder : null)
    }
    void ask()
    const timer = setInterval(() => void ask(), askEveryMs)
    return () => {
      here = false
      clearInterval(timer)
    }
  }, [folder])
  return holder
}

/** A rack that somebody has open: look at it, or take it over when its computer is gone for good. */
export function LockedHelp({ folder, children }: { folder: string; children: ReactNode }) {
  const holder = useHolder(folder)
  const settings = useStore((s) => s.settings)
  const [asking, setAsking] = useState(false)
  const when = (at: string) => `${sayDay(at)}, ${sayTime(at, settings)}`
  return (
    <>
      {holder ? (
        <p title={`Process ${holder.pid} on ${holder.host}`}>
          Open there since <b className="num">{when(holder.since)}</b>
          {holder.lastSign ? (
            <>
              , last sign of life <b className="num">{when(holder.lastSign)}</b>
            </>
          ) : null}
        </p>
      ) : null}
      <div className="welcome-helps">
        {holder === null ? (
          <button type="button" className="btn main" onClick={() => void openRack(folder)}>
            Try again
          </button>
        ) : null}
        <button
          type="button"
          className={holder === null ? 'btn' : 'btn main'}
          onClick={() => void openRack(folder, { how: 'reading' })}
        >
          Only look at it
        </button>
        {holder && !holder.here ? (
          <button
            type="button"
            className="btn"
            aria-disabled={!holder.quiet}
            onClick={() => {
              if (holder.quiet) setAsking(true)
              else
                useStore
                  .getState()
                  .say(`${holder.host} is at work on this rack.`, 'It can be taken over after five quiet minutes.')
            }}
          >
            Take it over
          </button>
        ) : null}
        {children}
      </div>
      {holder && !holder.here && !holder.quiet ? (
        <p className="fine">
          “Take it over” waits until {holder.host} has given no sign of life for five minutes: two computers writing to
          one rack can spoil it.
        </p>
      ) : null}
      {asking && holder ? (
        <TakeOver folder={folder} holder={holder} when={when} onClose={() => setAsking(false)} />
      ) : null}
    </>
  )
}

type TakeOverProps = { folder: string; holder: RackHolder; when: (at: string) => string; onClose: () => void }

function TakeOver({ folder, holder, when, onClose }: TakeOverProps) {
  const [busy, setBusy] = useState(false)
  const take = async () => {
    if (busy) return
    setBusy(true)
    await takeOver(folder, holder.nonce, useRefused.getState().refused?.name ?? null)
    onClose()
  }
  return (
    <Dialog title={`Take the rack over from ${holder.host}?`} onClose={busy ? () => undefined : onClose}>
      <div className="welcome-takeover">
        <p>
          <b>{holder.host}</b> has had it open since {when(holder.since)}.{' '}
          {holder.lastSign === null
            ? 'It has given no sign of life.'
            : `Its last sign of life was on ${when(holder.lastSign)}.`}
        </p>
        <Caution
          message="Only when that computer is switched off, broken, or no longer has this folder."
          remedy="If it still has the rack open, what it changes from now on is refused there, and what it has not written yet is lost."
        />
        {busy ? (
          <p role="status">Looking for a sign of life, half a minute …</p>
        ) : (
          <div className="welcome-helps">
            <button type="button" className="btn main" onClick={() => void take()}>
              Take it over from {holder.host}
            </button>
            <button type="button" className="btn" onClick={onClose}>
              Leave it
            </button>
          </div>
        )}
      </div>
    </Dialog>
  )
}
