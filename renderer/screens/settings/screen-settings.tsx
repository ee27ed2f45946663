import { useState } from 'react'
import { useStore } from '../../state/store.ts'
import { Choice } from './choice.tsx'
import { keepSettings } from './keep-settings.ts'

/** Theme, the ways of writing, and who works here. */
export function ScreenSettings() {
  const settings = useStore((s) => s.settings)
  return (
    <>
      <section className="block">
        <h2>On screen</h2>
        <Choice
          label="Theme"
          value={settings.theme}
          options={[
            ['system', 'As the system'],
            ['bench', 'Bench, dark'],
            ['office', 'Office, light'],
          ]}
          onChange={(theme) => void keepSettings({ theme })}
        />
        <Choice
          label="Units"
          value={settings.units}
          options={[
            ['system', 'As the system'],
            ['metric', 'Metric'],
            ['us', 'US'],
          ]}
          onChange={(units) => void keepSettings({ units })}
        />
        <Choice
          label="Decimal sign"
          value={settings.decimal}
          options={[
            ['system', 'As the system'],
            ['point', '0.5'],
            ['comma', '0,5'],
          ]}
          onChange={(decimal) => void keepSettings({ decimal })}
        />
        <Choice
          label="Clock"
          value={settings.clock}
          options={[
            ['system', 'As the system'],
            ['24', '14:30'],
            ['12', '2:30 pm'],
          ]}
          onChange={(clock) => void keepSettings({ clock })}
        />
      </section>
      <section className="block">
        <h2>Painter</h2>
        <PainterName kept={settings.painter} />
      </section>
    </>
  )
}

function PainterName({ kept }: { kept: string }) {
  const [name, setName] = useState(kept)
  const [before, setBefore] = useState(kept)
  if (before !== kept) {
    setBefore(kept)
    setName(kept)
  }
  const keep = () => {
    if (name.trim() !== kept) void keepSettings({ painter: name.trim() })
  }
  return (
    <label className="field">
      <span>Your name: stands in the history and on new panels</span>
      <input
        className="input"
        value={name}
        maxLength={120}
        autoComplete="off"
        onChange={(event) => setName(event.target.value)}
        onBlur={keep}
        onKeyDown={(event) => {
          if (event.key === 'Enter') keep()
        }}
      />
    </label>
  )
}
