import './side.css'
import { useEffect } from 'react'
import { toD50 } from '../../../shared-core/match/compare.ts'
import { Caution } from '../../parts/caution.tsx'
import { gamutWord } from '../../parts/gamut-word.ts'
import { useAnswer } from '../../state/asking.ts'
import { leaveFilled, useSide } from '../../state/side.ts'
import type { Side } from '../../state/side-address.ts'
import { SideBlink } from './side-blink.tsx'
import { SideEmpty } from './side-empty.tsx'
import { SideFoot } from './side-foot.tsx'
import { SideWall } from './side-wall.tsx'
import type { Seen } from './side-words.tsx'

const nothing: Seen = { shown: [], missing: [] }

/** Two to six colours that touch, on a neutral wall. */
export function SidePlace({ items, how }: Side) {
  const { value, error } = useAnswer('side.readItems', items.length === 0 ? null : { items: [...items] })
  const answered = value?.shown.length === items.length ? value : nothing
  const { shown, missing } = answered
  const blinking = useSide((s) => s.blink !== null) && items.length > 1
  const fills = useSide((s) => s.fills)
  useEffect(() => {
    useSide.setState({
      places: shown.map((each) => ({
        code: each?.panel?.code ?? null,
        readingId: each?.reading.id ?? null,
        readingIds: each?.readingIds ?? [],
      })),
    })
  }, [shown])
  useFilled()
  if (items.length === 0)
    return (
      <main className="side well" aria-label="Side by side">
        <SideEmpty alone={false} />
      </main>
    )
  if (error)
    return (
      <main className="side well" aria-label="Side by side">
        <Caution message={error.message} remedy={error.remedy} />
      </main>
    )
  const marked = how.names && shown.some((each) => each && gamutWord(toD50(each.reading)) !== null)
  return (
    <main className={`side well ${fills ? 'fills' : ''}`} aria-label="Side by side" aria-busy={shown.length === 0}>
      <h1 className="vh">Side by side</h1>
      {shown.length === 0 ? (
        <div className="side-lay" />
      ) : blinking ? (
        <SideBlink items={items} how={how} shown={shown} missing={missing} />
      ) : (
        <SideWall items={items} how={how} shown={shown} missing={missing} />
      )}
      {items.length === 1 ? <SideEmpty alone /> : null}
      <SideFoot how={how} marked={marked} />
    </main>
  )
}

/** The screen is given back when the browser takes it back, and when one leaves the place. */
function useFilled(): void {
  useEffect(() => {
    const follow = () => {
      if (!document.fullscreenElement) useSide.setState({ fills: false })
    }
    document.addEventListener('fullscreenchange', follow)
    return () => {
      document.removeEventListener('fullscreenchange', follow)
      leaveFilled()
    }
  }, [])
}
