import { client } from '../client/client.ts'
import { useStore } from './store.ts'

/** A slider is let go of before its size is written down. */
const restMs = 800

/** How panels hang becomes a setting of this computer. @returns a function that ends it */
export function keepWall(): () => void {
  let wait: ReturnType<typeof setTimeout> | undefined
  const end = useStore.subscribe((now, before) => {
    const { group, sort, cardSize, settings, rack } = now
    const same = group === before.group && sort === before.sort && cardSize === before.cardSize
    // a rack that is just opened hangs as it was left
    if (same || !rack || rack.folder !== before.rack?.folder) return
    clearTimeout(wait)
    wait = setTimeout(() => {
      const wall = { group, sort, cardSize }
      if (JSON.stringify(wall) === JSON.stringify(settings.wall)) return
      void client().call('settings.save', { settings: { ...useStore.getState().settings, wall } })
    }, restMs)
  })
  return () => {
    end()
    clearTimeout(wait)
  }
}
