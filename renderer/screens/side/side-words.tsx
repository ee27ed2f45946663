import type { CSSProperties } from 'react'
import type { SideShown } from '../../../shared-core/contract/side-calls.ts'
import { toD50 } from '../../../shared-core/match/compare.ts'
import type { SideItem } from '../../../shared-core/records/side.ts'
import { gamutWord } from '../../parts/gamut-word.ts'
import { BeyondScreen, SmallTriangle } from '../../parts/icons.tsx'
import { sayBound, sayNumber } from '../../parts/say-numbers.ts'
import { coatsInWords, Strokes } from '../../parts/strokes.tsx'
import type { SideHow } from '../../state/side-address.ts'
import { useStore } from '../../state/store.ts'
import { howRead, sayDifference, sayLab, upperFirst } from '../match/reading-words.ts'
import type { Difference } from './differences.ts'
import { type Picture, usePicture } from './use-picture.ts'

/** Why a place is empty. */
export type Missing = { message: string; remedy: string }

/** What the service says of each place. */
export type Seen = { shown: readonly (SideShown | null)[]; missing: readonly (Missing | null)[] }

/** Where a block of words stands along the row of paints. */
type Where = { style: CSSProperties }

type NameProps = Where & {
  item: SideItem
  shown: SideShown | null
  missing: Missing | null
  shows: SideHow['shows']
  chosen: boolean
  /** Whether other pictures are drawn at one scale. */
  scaled: boolean
}

/** What lies in a place: name, figures, how it was read, and what is seen of it. */
export function SideName({ item, shown, missing, shows, chosen, scaled, style }: NameProps) {
  const settings = useStore((s) => s.settings)
  const lights = useStore((s) => s.lights)
  const picture = usePicture(item, shown, shows)
  if (!shown)
    return (
      <div className="side-name" style={style} data-chosen={chosen || undefined}>
        <p>
          <b>{missing?.message ?? 'Nothing can be shown here.'}</b>
        </p>
        <p className="fine">{missing?.remedy} Or take it away from here.</p>
      </div>
    )
  const { panel, reading, name } = shown
  const outside = gamutWord(toD50(reading))
  const seen = seenInWords(shown, shows, picture, scaled)
  return (
    <div className="side-name" style={style} data-chosen={chosen || undefined}>
      <p className="side-called">
        <b className="num">{panel?.code ?? name}</b> {panel?.title}
      </p>
      {panel ? (
        <p className="side-build">
          <Strokes coats={panel.coats} /> {[coatsInWords(panel.coats), panel.ground].filter(Boolean).join(', ')}
        </p>
      ) : null}
      <p className="num">{sayLab(reading, settings)}</p>
      <p className="fine">{howRead(reading, lights)}</p>
      <p className="fine">{seen}</p>
      {picture.error ? (
        <p className="fine side-caution">
          <SmallTriangle /> {picture.error.message} {picture.error.remedy}
        </p>
      ) : null}
      {outside ? (
        <p className="fine">
          <BeyondScreen /> {outside}
        </p>
      ) : null}
    </div>
  )
}

/** What is seen in the place: a corrected photo, or the flat colour and why. */
function seenInWords(
  { reading, photo }: SideShown,
  shows: SideHow['shows'],
  { made, waiting }: Picture,
  scaled: boolean,
) {
  if (shows === 'colours') return 'Flat colour.'
  if (!photo) return `Flat colour: ${reading.level === 'instrument' ? 'measured' : 'typed'}, there is no photo.`
  if (waiting) return 'Flat colour while the photo is being corrected…'
  if (!made) return 'Flat colour.'
  const what =
    reading.level === 'uncalibrated' ? 'Photo as it is: nothing in it says how to correct it' : 'Photo, corrected'
  const scale = scaled ? (made.mmPerPixel === null ? ', its scale is not known' : ', at one scale with the others') : ''
  const share = Math.round(100 * made.outside)
  return `${what}${scale}.${share > 0 ? ` ${share} % of it is outside what this screen can show.` : ''}`
}

/** How one differs from another, between the two or below the one. */
export function SideDifference({ of, toWhat, style }: Where & { of: Difference; toWhat: string }) {
  const settings = useStore((s) => s.settings)
  return (
    <div className="side-difference" style={style}>
      <p className="side-de num">
        {sayNumber(of.de00, 1, settings)} <small>± {sayBound(of.bound90, settings)}</small>
      </p>
      <p>
        <span className="fine">{toWhat}</span> <b>{sayDifference(of)}</b>
      </p>
      {of.unlike.length > 0 ? <p className="fine">{upperFirst(of.unlike.join(', '))}.</p> : null}
    </div>
  )
}
