import { FromPhone } from './phone/from-phone.tsx'
import { Watched } from './watched/watched.tsx'

/** Ways in which photos come by themselves, below the one in which they are chosen. */
export function OtherWays() {
  return (
    <div className="tray-ways">
      <FromPhone />
      <Watched />
    </div>
  )
}
