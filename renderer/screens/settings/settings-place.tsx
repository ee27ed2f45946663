import './settings.css'
import { About } from './about.tsx'
import { Cautions } from './cautions.tsx'
import { ColourSettings } from './colour-settings.tsx'
import { KnownSheetsSettings } from './known-sheets-settings.tsx'
import { ScreenSettings } from './screen-settings.tsx'
import { SetupsSettings } from './setups-settings.tsx'
import { WhereFilesLive } from './where-files-live.tsx'

/** What belongs to this computer and its painter; each change is kept at once. */
export function SettingsPlace() {
  return (
    <main className="settings scroll">
      <h1 className="title">Settings</h1>
      <div className="settings-columns">
        <div>
          <ScreenSettings />
          <SetupsSettings />
          <KnownSheetsSettings />
        </div>
        <div>
          <ColourSettings />
        </div>
        <div>
          <WhereFilesLive />
          <Cautions />
          <About />
        </div>
      </div>
    </main>
  )
}
