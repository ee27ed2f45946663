import type { Photo } from '../../../../shared-core/records/photo.ts'
import type { Settings } from '../../../../shared-core/records/settings.ts'
import { sayNumber } from '../../../parts/say-numbers.ts'
import { useStore } from '../../../state/store.ts'
import { useDesk } from '../desk-state.ts'

/** What is known about the file. */
export function PhotoFacts() {
  const photo = useDesk((s) => s.photo)
  const settings = useStore((s) => s.settings)
  if (!photo) return null
  return (
    <details className="tray-facts">
      <summary>About this photo</summary>
      <dl className="tray-rows">
        {factsOf(photo, settings).map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
    </details>
  )
}

export function factsOf(photo: Photo, settings: Settings): [string, string][] {
  const { exposure } = photo
  const shot = [
    exposure.exposureS === null ? null : shutter(exposure.exposureS, settings),
    exposure.fNumber === null ? null : `f/${sayNumber(exposure.fNumber, 1, settings)}`,
    exposure.iso === null ? null : `ISO ${exposure.iso}`,
  ].filter((part) => part !== null)
  const lens: [string, string][] =
    exposure.focalLengthMm === null ? [] : [['Lens', `${sayNumber(exposure.focalLengthMm, 1, settings)} mm`]]
  return [
    ['File', photo.name],
    ['Format', `${photo.format.toUpperCase()}, ${photo.bits} bits, ${sayBytes(photo.byteCount, settings)}`],
    ['Size', `${photo.width} × ${photo.height} pixels`],
    ['Colours', photo.profileAssumed ? `${photo.profile}, assumed: the file names no profile` : photo.profile],
    ['Taken', exposure.takenAt === null ? 'not in the file' : sayMoment(exposure.takenAt, settings)],
    ['Camera', exposure.camera ?? 'not in the file'],
    ...lens,
    ['Exposure', shot.length === 0 ? 'not in the file' : shot.join(', ')],
    ['White balance', whiteBalance[exposure.whiteBalance ?? 'unknown']],
  ]
}

const whiteBalance = { auto: 'chosen by the camera', manual: 'kept as it was set', unknown: 'not in the file' }

function shutter(seconds: number, settings: Settings): string {
  return seconds < 0.4 ? `1/${Math.round(1 / seconds)} s` : `${sayNumber(seconds, 1, settings)} s`
}

function sayBytes(count: number, settings: Settings): string {
  return count < 1e6 ? `${Math.max(Math.round(count / 1e3), 1)} kB` : `${sayNumber(count / 1e6, 1, settings)} MB`
}

/** EXIF gives the camera's own clock, without a zone: it is shown as it stands. */
function sayMoment(moment: string, settings: Settings): string {
  const at = new Date(moment)
  if (Number.isNaN(at.getTime())) return moment
  return at.toLocaleString(undefined, {
    dateStyle: 'medium',
    timeStyle: 'short',
    ...(settings.clock === 'system' ? {} : { hour12: settings.clock === '12' }),
  })
}
