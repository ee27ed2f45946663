import { create } from 'zustand'
import { useStore } from '../../../state/store.ts'
import { useDesk } from '../desk-state.ts'

/** Of which photo somebody has said that its light is to have no name. */
export const useUnnamedLight = create<{ photoId: string | null }>(() => ({ photoId: null }))

/** In which light a sheet is learned: later photos in that light are the ones that it helps most. */
export function SheetLight() {
  const lights = useStore((s) => s.lights)
  const photoId = useDesk((s) => s.photo?.id ?? null)
  const lightId = useDesk((s) => s.circumstances.lightId)
  const unnamed = useUnnamedLight((s) => s.photoId === photoId)
  const say = (chosen: string) => {
    useUnnamedLight.setState({ photoId: chosen === 'unnamed' ? photoId : null })
    const id = lights.some((light) => light.id === chosen) ? chosen : null
    useDesk.setState((s) => ({ circumstances: { ...s.circumstances, lightId: id } }))
  }
  return (
    <label className="field">
      <span>In which light it is learnt</span>
      <select
        className="select"
        value={lightId ?? (unnamed ? 'unnamed' : '')}
        onChange={(event) => say(event.target.value)}
      >
        {lightId === null && !unnamed ? <option value="">Choose the light</option> : null}
        {lights.map(({ id, name }) => (
          <option key={id} value={id}>
            {name}
          </option>
        ))}
        <option value="unnamed">one that has no name</option>
      </select>
    </label>
  )
}
