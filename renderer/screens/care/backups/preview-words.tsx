import type { RestorePreview, Touched } from '../../../../shared-core/records/backup.ts'
import { Caution } from '../../../parts/caution.tsx'
import { countInWords } from '../../../parts/say-numbers.ts'
import { useStore } from '../../../state/store.ts'
import { useNow } from '../../../state/use-now.ts'
import { counted, sayWhen, touchedInWords } from './words.ts'

const named = [
  ['panels', 'Panels'],
  ['readings', 'Readings'],
  ['photos', 'Photos'],
  ['jobs', 'Jobs'],
] as const

/** What a restore would change: figures side by side, panels by name, and what is never lost. */
export function PreviewWords({ preview, when }: { preview: RestorePreview; when: string }) {
  const settings = useStore((s) => s.settings)
  const now = new Date(useNow(60_000))
  const { inRack, inBackup, gone, back, different, changesLost, lostSince } = preview
  const isAlike = inRack !== null && changesLost === 0 && gone.count + back.count + different.count === 0
  return (
    <div className="restore-preview">
      <table className="restore-counts">
        <thead>
          <tr>
            <td>
              <span className="vh">When</span>
            </td>
            {named.map(([key, name]) => (
              <th key={key} scope="col">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          <tr>
            <th scope="row">now</th>
            {inRack ? (
              named.map(([key]) => (
                <td key={key} className="num">
                  {countInWords(inRack[key])}
                </td>
              ))
            ) : (
              <td colSpan={named.length}>cannot be read</td>
            )}
          </tr>
          <tr>
            <th scope="row">{when}</th>
            {named.map(([key]) => (
              <td key={key} className="num">
                {countInWords(inBackup[key])}
              </td>
            ))}
          </tr>
        </tbody>
      </table>
      {preview.sameRack === false ? (
        <Caution
          message={`This backup is of another rack, “${preview.backup.facts?.rackName ?? ''}”.`}
          remedy="Going back to it puts that rack’s panels in the place of yours."
        />
      ) : null}
      {inRack === null ? (
        <Caution
          message="The present records cannot be read, so nobody can say what would be missing."
          remedy="They are kept as they are, among the backups."
        />
      ) : null}
      {isAlike ? <p>Nothing hangs differently now: going back would change nothing.</p> : null}
      <Panels of={gone} words={(n) => `${counted(n, 'panel')} would no longer hang there`} />
      <Panels of={back} words={(n) => `${counted(n, 'panel')} would come back`} />
      <Panels
        of={different}
        words={(n) => `${counted(n, 'panel')} would be as ${n === 1 ? 'it was' : 'they were'} then`}
      />
      {changesLost > 0 ? (
        <p>
          <b>{counted(changesLost, 'change')} would be gone</b>
          {lostSince === null ? '' : `, all since ${sayWhen(lostSince, settings, now)}`}.
        </p>
      ) : null}
      <p>
        <b>No photo is lost.</b> {photosInWords(preview)}
      </p>
      {inRack ? <p>What is there now is kept as a backup first: you can come forward again the same way.</p> : null}
      {preview.photosMissing > 0 ? (
        <Caution
          message={`${counted(preview.photosMissing, 'photo')} of this backup ${preview.photosMissing === 1 ? 'is' : 'are'} not in the photo folder.`}
          remedy="“Check and repair” looks for them by their content."
        />
      ) : null}
    </div>
  )
}

function Panels({ of, words }: { of: Touched; words: (count: number) => string }) {
  if (of.count === 0) return null
  return (
    <p>
      <b>{words(of.count)}:</b> {touchedInWords(of)}
    </p>
  )
}

function photosInWords({ photosToTray, photosLeft }: RestorePreview): string {
  const parts: string[] = []
  if (photosToTray > 0)
    parts.push(
      `${counted(photosToTray, 'photo')} that this backup does not know ${photosToTray === 1 ? 'is' : 'are'} put into the tray.`,
    )
  if (photosLeft > 0)
    parts.push(
      `${counted(photosLeft, 'file')} from the trash ${photosLeft === 1 ? 'stays' : 'stay'} in the photo folder.`,
    )
  return parts.length === 0 ? 'The backup knows every photo that is in the folder.' : parts.join(' ')
}
