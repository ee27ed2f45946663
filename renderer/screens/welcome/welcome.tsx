import './welcome.css'
import { Demonstration } from './demonstration.tsx'
import { NewRack } from './new-rack.tsx'
import { OpenRack } from './open-rack.tsx'

/** First run, and whenever no rack is open: make one, open one, or look at an invented one. */
export function Welcome() {
  return (
    <main className="welcome scroll">
      <header className="welcome-head">
        <h1 className="title">Start with a rack</h1>
        <p className="lead">
          A rack is one folder on this computer that holds your panels, their formulas and their photos; nothing leaves
          it, and copying the folder copies everything.
        </p>
      </header>
      <div className="welcome-ways">
        <NewRack />
        <OpenRack />
        <Demonstration />
      </div>
    </main>
  )
}
