import { defaultSettings } from '../../../shared-core/records/settings.ts'
import { useStore } from '../../state/store.ts'
import { CardSize } from './card-size.tsx'
import { keepSettings } from './keep-settings.ts'
import { KeptNumber } from './kept-number.tsx'
import { LabRow } from './lab-row.tsx'

/** The card and tiles that photos are read by, and what counts as the same colour. */
export function ColourSettings() {
  const { card, whiteTile, blackTile, sameLimit } = useStore((s) => s.settings)
  const usual = defaultSettings.card
  const asUsual = card.l === usual.l && card.a === usual.a && card.b === usual.b
  return (
    <>
      <section className="block">
        <h2>Grey card</h2>
        <p>
          Lab of your card under D50, 2°. It stands on the card’s sheet or back; an instrument set to D50, 2° measures
          it. A grey card sold as “18 %” is close to L 50, a and b 0.
        </p>
        <LabRow name="Grey card" lab={card} onKeep={(lab) => void keepSettings({ card: lab })} />
        {asUsual ? (
          <p className="fine">This is the usual card. Readings already filed keep the card they were read by.</p>
        ) : (
          <>
            <p className="fine">Counts for photos marked from now on. Readings already filed keep their card.</p>
            <button type="button" className="btn" onClick={() => void keepSettings({ card: usual })}>
              Use L 50, neutral
            </button>
          </>
        )}
        <CardSize />
      </section>
      <section className="block">
        <h2>White and black tile</h2>
        <p>
          Laid beside the card, they show how the phone bends light and dark. Write what their sheet says; the figures
          here are only what such tiles usually have (common practice).
        </p>
        <p className="settings-tile">White tile</p>
        <LabRow name="White tile" lab={whiteTile} onKeep={(lab) => void keepSettings({ whiteTile: lab })} />
        <p className="settings-tile">Black tile</p>
        <LabRow name="Black tile" lab={blackTile} onKeep={(lab) => void keepSettings({ blackTile: lab })} />
      </section>
      <section className="block">
        <h2>The same colour</h2>
        <div className="settings-limit">
          <KeptNumber
            label="Up to this dE00 two colours count as the same"
            value={sameLimit}
            from={0.1}
            to={10}
            onKeep={(limit) => void keepSettings({ sameLimit: limit })}
          />
        </div>
        <p className="fine">
          Match draws its line “could be the same” here. About 1 is what a trained eye just sees side by side (common
          practice).
        </p>
      </section>
    </>
  )
}
