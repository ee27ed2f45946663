import type { Photo } from '../../../../../shared-core/records/photo.ts'
import type { Setup } from '../../../../../shared-core/records/setup.ts'

/**
 * The set-up to propose when the light is named: the newest of the same camera in that light, then the newest whose
 * light nobody named. Without a light, the newest of the camera.
 * @param setups  newest calibration first
 */
export function suitingSetup(setups: readonly Setup[], { exposure }: Photo, lightId: string | null): Setup | null {
  const same = setups.filter(({ camera }) => camera !== null && camera === exposure.camera)
  if (lightId === null) return same[0] ?? null
  return same.find((one) => one.lightId === lightId) ?? same.find((one) => one.lightId === null) ?? null
}

/** What does not fit between a photo and its set-up, in words; null when nothing speaks against it. */
export function misfit(
  setup: Setup,
  { exposure }: Photo,
  lightId: string | null,
  nameOfLight: (id: string) => string,
): { message: string; remedy: string } | null {
  if (setup.camera !== null && exposure.camera !== null && setup.camera !== exposure.camera)
    return {
      message: `“${setup.name}” belongs to another camera, ${setup.camera}.`,
      remedy: 'Choose the set-up of this camera, or none.',
    }
  if (setup.lightId !== null && lightId !== null && setup.lightId !== lightId)
    return {
      message: `“${setup.name}” was calibrated in another light, ${nameOfLight(setup.lightId)}.`,
      remedy: 'Choose the set-up of this light, or none.',
    }
  return null
}
