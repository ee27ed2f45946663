import { type KeyboardEvent, useEffect, useRef } from 'react'
import { openItem } from '../../commands/side/open-item.ts'
import { choosePlace, useSide } from '../../state/side.ts'
import type { Side } from '../../state/side-address.ts'
import { useStore } from '../../state/store.ts'
import { type Difference, differencesOf } from './differences.ts'
import { type Bay, sharedScale } from './scale.ts'
import { seenOrder } from './seen-order.ts'
import { SidePaint } from './side-paint.tsx'
import { type Seen, SideDifference, SideName } from './side-words.tsx'
import { useSize } from './use-size.ts'

/** Paints that touch, and below or beside them what they are and how they differ. */
export function SideWall({ items, how, shown, missing }: Side & Seen) {
  const wall = useRef<HTMLDivElement>(null)
  const chosen = useSide((s) => Math.min(s.chosen, items.length - 1))
  const { width, height } = useSize(wall)
  useEffect(() => wall.current?.focus({ preventScroll: true }), [])
  const order = seenOrder(items.length, how.turned)
  const upright = how.turned % 2 === 1
  const bay: Bay = upright ? { width, height: height / items.length } : { width: width / items.length, height }
  const scale =
    how.shows === 'photos'
      ? sharedScale(
          shown.map((each) => each?.photo ?? null),
          bay,
        )
      : null
  const differences = differencesOf(
    order.map((i) => shown[i]?.reading ?? null),
    how.against === 'first' ? order.indexOf(0) : null,
  )
  const openByEnter = (event: KeyboardEvent) => {
    if (event.key !== 'Enter') return
    event.preventDefault()
    const state = useStore.getState()
    if (openItem.missing(state) === null) void openItem.run(state)
  }
  return (
    <div className={`side-lay ${upright ? 'is-upright' : ''} ${how.names ? '' : 'is-unnamed'}`}>
      <div
        ref={wall}
        className="side-wall"
        role="listbox"
        aria-label="Side by side"
        aria-orientation={upright ? 'vertical' : 'horizontal'}
        aria-activedescendant={`side-${chosen}`}
        tabIndex={0}
        onKeyDown={openByEnter}
      >
        {order.map((i, seen) => (
          <div
            key={keyOf(items, i)}
            id={`side-${i}`}
            className="side-bay"
            role="option"
            tabIndex={-1}
            aria-selected={i === chosen}
            aria-label={how.names ? `${seen + 1}: ${shown[i]?.name ?? 'nothing to be shown'}` : `Place ${seen + 1}`}
            data-place={i}
            onPointerDown={() => choosePlace(i)}
          >
            <SidePaint item={items[i]!} shown={shown[i] ?? null} shows={how.shows} bay={bay} scale={scale} />
          </div>
        ))}
      </div>
      <div className="side-rail" aria-hidden="true">
        {order.map((i) => (
          <i key={keyOf(items, i)} data-chosen={i === chosen || undefined} />
        ))}
      </div>
      {how.names ? (
        <div className="side-words" style={along(upright, items.length)}>
          {order.map((i, seen) => (
            <SideName
              key={keyOf(items, i)}
              item={items[i]!}
              shown={shown[i] ?? null}
              missing={missing[i] ?? null}
              shows={how.shows}
              chosen={i === chosen}
              scaled={scale !== null}
              style={at(upright, 2 * seen + 1, 'name')}
            />
          ))}
          {differences.map((difference) => (
            <SideDifference
              key={`${difference.from} ${difference.to}`}
              of={difference}
              toWhat={toWhat(difference, how.against, upright, shown[0]?.panel?.code ?? shown[0]?.name ?? 'the first')}
              style={at(upright, how.against === 'first' ? 2 * difference.to + 1 : 2 * difference.to, 'difference')}
            />
          ))}
        </div>
      ) : null}
    </div>
  )
}

/** The same thing may lie in two places. */
const keyOf = (items: Side['items'], i: number): string => {
  const text = JSON.stringify(items[i])
  return `${text} ${items.slice(0, i).filter((item) => JSON.stringify(item) === text).length}`
}

/** Two tracks for each place: names stand below their paint, differences below the seam. */
const along = (upright: boolean, count: number) =>
  upright
    ? { gridTemplateRows: `repeat(${2 * count}, minmax(0, 1fr))` }
    : { gridTemplateColumns: `repeat(${2 * count}, minmax(0, 1fr))` }

function at(upright: boolean, track: number, what: 'name' | 'difference') {
  const span = `${track} / span 2`
  const line = what === 'difference' ? 1 : 2
  return upright ? { gridRow: span, gridColumn: 3 - line } : { gridColumn: span, gridRow: line }
}

function toWhat(difference: Difference, against: Side['how']['against'], upright: boolean, first: string): string {
  if (against === 'first') return `Against ${first}:`
  if (upright) return 'Lower one:'
  return difference.to > difference.from ? 'Right one:' : 'Left one:'
}
