import { useEffect, useRef } from 'react'
import { showOther } from '../../commands/side/show-other.ts'
import { otherPlace, useSide } from '../../state/side.ts'
import type { Side } from '../../state/side-address.ts'
import { useStore } from '../../state/store.ts'
import { differencesOf } from './differences.ts'
import { sharedScale } from './scale.ts'
import { SidePaint } from './side-paint.tsx'
import { type Seen, SideDifference, SideName } from './side-words.tsx'
import { useSize } from './use-size.ts'

/** Two colours by turns in one place: a difference that is hardly seen beside each other shows as a flicker. */
export function SideBlink({ items, how, shown, missing }: Side & Seen) {
  const wall = useRef<HTMLButtonElement>(null)
  const bay = useSize(wall)
  const chosen = useSide((s) => Math.min(s.chosen, items.length - 1))
  const blink = useSide((s) => s.blink)
  const everyMs = useSide((s) => s.everyMs)
  const other = otherPlace(chosen, items.length, how.against)
  useEffect(() => wall.current?.focus({ preventScroll: true }), [])
  const running = blink !== null && !blink.held
  useEffect(() => {
    if (!running) return
    const wait = setInterval(turnOver, everyMs)
    return () => clearInterval(wait)
  }, [running, everyMs])
  const two = [chosen, other]
  const seen = blink?.sees === 'other' ? other : chosen
  const photos = two.map((i) => shown[i]?.photo ?? null)
  const scale = how.shows === 'photos' ? sharedScale(photos, bay) : null
  const [difference] = differencesOf(
    two.map((i) => shown[i]?.reading ?? null),
    null,
  )
  const called = shown[other]?.panel?.code ?? shown[other]?.name ?? 'The other'
  return (
    <div className={`side-lay is-blinking ${how.names ? '' : 'is-unnamed'}`}>
      <button
        ref={wall}
        type="button"
        className="side-wall"
        aria-label="Show the other"
        onClick={() => void showOther.run(useStore.getState())}
      >
        {two.map((i) => (
          <span
            key={i}
            className="side-bay"
            data-place={i}
            data-seen={i === seen || undefined}
            aria-hidden={i !== seen}
          >
            <SidePaint item={items[i]!} shown={shown[i] ?? null} shows={how.shows} bay={bay} scale={scale} />
          </span>
        ))}
      </button>
      <div className="side-rail" aria-hidden="true">
        {(how.names ? two : [seen]).map((i) => (
          <i key={i} data-chosen={i === seen || undefined} />
        ))}
      </div>
      {how.names ? (
        <div className="side-words" style={{ gridTemplateColumns: 'repeat(3, minmax(0, 1fr))' }}>
          {two.map((i, n) => (
            <SideName
              key={i}
              item={items[i]!}
              shown={shown[i] ?? null}
              missing={missing[i] ?? null}
              shows={how.shows}
              chosen={i === seen}
              scaled={scale !== null}
              style={{ gridColumn: n === 0 ? 1 : 3, gridRow: 1 }}
            />
          ))}
          {difference ? (
            <SideDifference of={difference} toWhat={`${called}:`} style={{ gridColumn: 2, gridRow: 1 }} />
          ) : null}
        </div>
      ) : null}
    </div>
  )
}

export function turnOver(): void {
  useSide.setState(({ blink }) =>
    blink ? { blink: { ...blink, sees: blink.sees === 'chosen' ? 'other' : 'chosen' } } : {},
  )
}
