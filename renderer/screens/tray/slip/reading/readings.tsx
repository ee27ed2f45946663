import { useShallow } from 'zustand/react/shallow'
import { Caution } from '../../../../parts/caution.tsx'
import { gamutWord } from '../../../../parts/gamut-word.ts'
import { labFigures } from '../../../../parts/lab-figures.ts'
import { Paint } from '../../../../parts/lab-swatch.tsx'
import { sayBound } from '../../../../parts/say-numbers.ts'
import { Strokes } from '../../../../parts/strokes.tsx'
import { useStore } from '../../../../state/store.ts'
import { nameOf } from '../../desk/plates.tsx'
import { chooseMark, useDesk } from '../../desk-state.ts'
import { areasOf, faultIn } from '../../marks.ts'
import { CautionsSaid } from './cautions-said.tsx'
import { levelInWords } from './level-words.ts'

/** More than these side by side would be narrower than a target. */
const mostInRow = 6

/** The swatches of all areas, touching, each with its coats below; what is wrong stands under them in words. */
export function Readings() {
  const [marks, reading, asking, panel, chosen] = useDesk(
    useShallow((s) => [s.marks, s.reading, s.asking, s.panel, s.chosen]),
  )
  const settings = useStore((s) => s.settings)
  const areas = areasOf(marks)
  if (areas.length === 0) return <p className="fine">No panel is marked yet: its colour is read as soon as it is.</p>
  const fault = faultIn(marks)
  if (fault) return <Caution message={`${fault}.`} />
  // While a newer answer is on its way the older one stays, as long as it belongs to the same areas.
  const results = reading?.results.length === areas.length ? reading.results : areas.map(() => null)
  const rows = Math.ceil(areas.length / mostInRow)
  const ofPhoto = reading?.photo ?? []
  const bounds = results.flatMap((result) => result?.colour?.bound90 ?? [])
  const levels = new Set(results.flatMap((result) => result?.colour?.level ?? []))
  const say = (value: number) => sayBound(value, settings)
  const [least, most] = [Math.min(...bounds), Math.max(...bounds)]
  return (
    <div className="tray-readings" aria-busy={asking}>
      <div
        className={`tray-cuts ${rows > 1 ? 'in-rows' : ''}`}
        role="group"
        aria-label="Colours read"
        style={{ gridTemplateColumns: `repeat(${Math.ceil(areas.length / rows)}, minmax(0, 1fr))` }}
      >
        {areas.map((area, i) => {
          const result = results[i]
          const coats = panel?.steps.find((s) => s.id === area.area.stepId)?.coats
          const colour = result?.colour ?? null
          const name = nameOf(area, i, coats)
          const spoken = colour
            ? `${name}: Lab ${labFigures(colour.lab, settings)}, ± ${say(colour.bound90)}`
            : `${name}: ${result?.refused?.message ?? (area.area.shape.kind === 'fade' ? 'picture only' : 'not read yet')}`
          return (
            <button
              key={`${area.mark} ${area.band}`}
              type="button"
              aria-pressed={chosen?.key === area.mark && chosen.band === area.band}
              aria-label={spoken}
              title={spoken}
              onClick={() => chooseMark({ key: area.mark, handle: null, band: area.band })}
            >
              <Paint lab={colour?.lab ?? null} label="" flat />
              <span>
                {coats === undefined ? i + 1 : coats}
                {coats === undefined ? null : <Strokes coats={coats} />}
              </span>
            </button>
          )
        })}
      </div>
      <p>
        {bounds.length === 0 ? (
          asking ? (
            'Reading…'
          ) : areas.every(({ area }) => area.shape.kind === 'fade') ? (
            'Kept as a picture, without a colour.'
          ) : (
            'No colour could be read.'
          )
        ) : (
          <>
            Expect{' '}
            <b className="num">
              ± {say(least)}
              {say(least) === say(most) ? '' : ` to ${say(most)}`} dE00
            </b>
            {areas.length > 1 ? ' on each area' : ''}, {[...levels].map((level) => levelInWords[level]).join(' or ')}
            {asking ? ', reading anew…' : ''}
          </>
        )}
      </p>
      {marks.card || marks.chart || ofPhoto.length > 0 ? null : (
        <Caution
          message="No card marked: the colour will be uncalibrated."
          remedy="Mark the grey card if it lies in the photo."
        />
      )}
      <CautionsSaid said={ofPhoto} />
      <CautionsSaid
        said={spokenTogether(
          areas.flatMap((area, i) => {
            const result = results[i]
            const name = nameOf(area, i, panel?.steps.find((s) => s.id === area.area.stepId)?.coats)
            const gamut = result?.colour ? gamutWord(result.colour.lab) : null
            return [
              // what is wrong with the whole photo is said once, above
              ...[...(result?.refused ? [result.refused] : []), ...(result?.colour?.cautions ?? [])]
                .filter((caution) => !ofPhoto.some(({ code }) => code === caution.code))
                .map((caution) => ({ name, ...caution })),
              ...(gamut
                ? [
                    {
                      name,
                      weight: 'note' as const,
                      message: gamut,
                      remedy: 'Its swatch here is the nearest that can be shown.',
                    },
                  ]
                : []),
            ]
          }),
        )}
      />
    </div>
  )
}

type Spoken = { name: string; message: string; remedy: string; weight?: 'note' | 'warning' | undefined }

/** The same caution of several areas is said once. */
function spokenTogether(said: Spoken[]): Omit<Spoken, 'name'>[] {
  const by = new Map<string, { names: string[]; first: Spoken }>()
  for (const one of said) {
    const known = by.get(one.message) ?? { names: [], first: one }
    known.names.push(one.name)
    by.set(one.message, known)
  }
  return [...by.values()].map(({ names, first: { message, remedy, weight } }) => {
    const who = names.length > 2 ? `${names[0]} and ${names.length - 1} more` : names.join(' and ')
    return { message: `${who}: ${message}`, remedy, weight }
  })
}
