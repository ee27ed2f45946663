import './welcome.css'
import { useEffect } from 'react'
import { OpenArchive } from '../care/archive/open-archive.tsx'
import { Demonstration } from './demonstration.tsx'
import { NewRack } from './new-rack.tsx'
import { OpenRack } from './open-rack.tsx'
import { useRefused } from './refused.ts'
import { RefusedRack } from './refused-rack.tsx'

/** First run, and whenever no rack is open: make one, open one, or look at an invented one. */
export function Welcome() {
  // once a rack is open, what was refused before is over
  useEffect(() => () => useRefused.setState({ refused: null }), [])
  return (
    <main className="welcome scroll">
      <header className="welcome-head">
        <h1 className="title">Start with a rack</h1>
        <p className="lead">
          A rack is one folder on this computer that holds your panels, their formulas and their photos; nothing leaves
          it, and copying the folder copies everything.
        </p>
      </header>
      <RefusedRack />
      <div className="welcome-ways">
        <NewRack />
        <OpenRack />
        <div className="welcome-column">
          <Demonstration />
          <OpenArchive className="welcome-way block" />
        </div>
      </div>
    </main>
  )
}
