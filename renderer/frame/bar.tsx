import './frame.css'
import { useEffect, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { PlaceLink } from '../parts/place-link.tsx'
import { countInWords } from '../parts/say-numbers.ts'
import { lastMatch } from '../state/match-table.ts'
import { go, type Route } from '../state/router.ts'
import { useStore } from '../state/store.ts'
import { HistoryButtons } from './history-buttons.tsx'
import { PhoneSign } from './phone-sign.tsx'
import { RackBanner } from './rack-banner.tsx'
import { CautionsSign } from './rack-cautions.tsx'
import { RackDialogs } from './rack-dialogs.tsx'
import { RunningClocks } from './running-clocks.tsx'
import { RunningJob } from './running-job.tsx'

const places: { name: string; route: Route; covers: readonly Route['at'][] }[] = [
  { name: 'Rack', route: { at: 'rack' }, covers: ['rack', 'panel', 'panel-form'] },
  { name: 'Match', route: { at: 'match', referenceId: null }, covers: ['match', 'side'] },
  { name: 'Plan', route: { at: 'plan', formula: null, referenceId: null }, covers: ['plan'] },
  { name: 'Mix', route: { at: 'mix', cupId: null, from: null }, covers: ['mix'] },
  { name: 'Jobs', route: { at: 'jobs', key: null }, covers: ['jobs'] },
  { name: 'Shelf', route: { at: 'shelf', materialId: null }, covers: ['shelf'] },
  { name: 'Tray', route: { at: 'tray', photoId: null }, covers: ['tray'] },
  { name: 'Settings', route: { at: 'settings' }, covers: ['settings', 'care'] },
]

const safeKeeping: Route = { at: 'care', page: 'backups' }

/** The row of places, the rack's name, search by words, and what is running. */
export function Bar() {
  const [route, rack] = useStore(useShallow((s) => [s.route, s.rack]))
  const shown = rack ? places : places.filter((p) => p.name === 'Settings')
  return (
    <>
      <header className={`bar ${(route.at === 'match' || route.at === 'side') && rack ? 'at-well' : ''}`}>
        <nav className="places" aria-label="Places">
          {rack ? null : <Place name="Start" route={{ at: 'rack' }} current={route.at !== 'settings'} />}
          {shown.map((place) => (
            <Place
              key={place.name}
              name={place.name}
              route={place.name === 'Match' && route.at !== 'match' ? lastMatch() : place.route}
              current={place.covers.includes(route.at)}
            />
          ))}
        </nav>
        {rack ? (
          <>
            <PlaceLink
              to={safeKeeping}
              className="rackname"
              title={`${rack.name}: its safe keeping (backups, archive, check and history)`}
            >
              <b>{rack.name}</b>
              <span className="fine">
                {rack.panelCount === 1 ? '1 panel' : `${countInWords(rack.panelCount)} panels`}
              </span>
            </PlaceLink>
            <CautionsSign />
            <WordsSearch />
            <HistoryButtons />
            <PhoneSign />
            <RunningClocks />
          </>
        ) : null}
        <RunningJob />
      </header>
      <RackBanner />
      <RackDialogs />
    </>
  )
}

function Place({ name, route, current }: { name: string; route: Route; current: boolean }) {
  const waiting = useStore((s) => (name === 'Tray' ? (s.rack?.trayCount ?? 0) : 0))
  return (
    <PlaceLink to={route} aria-current={current ? 'page' : undefined}>
      {name}
      {waiting > 0 ? (
        <span className="count">
          {waiting}
          <span className="vh"> photos waiting</span>
        </span>
      ) : null}
    </PlaceLink>
  )
}

function WordsSearch() {
  const [filter, at, setView] = useStore(useShallow((s) => [s.filter, s.route.at, s.setView]))
  const [text, setText] = useState(filter.words)
  useEffect(() => setText(filter.words), [filter.words])
  useEffect(() => {
    if (text === filter.words) return
    const wait = setTimeout(() => setView({ filter: { ...useStore.getState().filter, words: text } }), 150)
    return () => clearTimeout(wait)
  }, [text, filter.words, setView])
  return (
    <label className="find">
      <span className="vh">Search by words</span>
      <input
        className="input"
        type="search"
        placeholder="Search code, title, note"
        value={text}
        onChange={(event) => {
          setText(event.target.value)
          if (at !== 'rack' && event.target.value) go({ at: 'rack' })
        }}
      />
    </label>
  )
}
