import './settings.css'
import { About } from './about.tsx'
import { Cautions } from './cautions.tsx'
import { ColourSettings } from './colour-settings.tsx'
import { ScreenSettings } from './screen-settings.tsx'
import { WhereFilesLive } from './where-files-live.tsx'

/** What belongs to this computer and its painter; each change is kept at once. */
export function SettingsPlace() {
  return (
    <main className="settings scroll">
      <h1 className="title">Settings</h1>
      <div className="settings-columns">
        <div>
          <ScreenSettings />
          <WhereFilesLive />
        </div>
        <div>
          <ColourSettings />
          <Cautions />
        </div>
        <div>
          <About />
        </div>
      </div>
    </main>
  )
}
