import { useEffect, useEffectEvent } from 'react'
import type { PhoneState } from '../../../../shared-core/contract/phone-calls.ts'
import { actOnPhone } from '../../../state/phone.ts'
import { sayClock } from '../../mix/say-amounts.ts'

/** The code while one is needed; once a phone has it, a way to another. */
export function PhoneCode({ door, now }: { door: PhoneState; now: number }) {
  const leftMs = door.linkUntil === null ? 0 : Date.parse(door.linkUntil) - now
  const hasRunOut = door.link !== null && leftMs <= 0
  // nobody is connected yet and somebody looks at it: a new one takes its place
  const renew = useEffectEvent(() => void actOnPhone('phone.newCode', {}))
  const isWanted = door.phones.length === 0 && door.said === null && (hasRunOut || door.link === null)
  useEffect(() => {
    if (isWanted) renew()
  }, [isWanted])
  if (door.link === null || hasRunOut) return <Another door={door} />
  const [address] = door.link.split('#')
  return (
    <figure className="phone-code">
      <Symbol rows={door.symbol} />
      <figcaption>
        <p>
          <b>Point the phone’s camera at this code</b> and open what it offers. The phone must be in this network:{' '}
          <span className="num">{address?.replace(/^http:\/\/|\/$/g, '')}</span>
        </p>
        <p className="fine">
          Where its camera reads no codes, open <span className="phone-link">{door.link}</span>
        </p>
        <p className="fine">For one phone, once. A new code comes in {sayClock(Math.floor(leftMs / 1000))}.</p>
      </figcaption>
    </figure>
  )
}

function Another({ door }: { door: PhoneState }) {
  const wants = door.phones.length > 0 && door.said === null ? 'Connect another phone' : 'Show a new code'
  return (
    <div className="phone-code phone-no-code">
      <p className="lead">{inWords(door)}</p>
      {door.isFull ? null : (
        <button type="button" className="btn" onClick={() => void actOnPhone('phone.newCode', {})}>
          {wants}
        </button>
      )}
    </div>
  )
}

function inWords({ phones, isFull, said }: PhoneState): string {
  if (isFull) return `${phones.length} phones are connected, which is as many as there can be.`
  if (said !== null) return 'No phone can be connected for now.'
  if (phones.length === 0) return 'The code has run out.'
  return phones.length === 1
    ? `${phones[0]!.name} is connected. Take pictures with it: they come in here.`
    : `${phones.length} phones are connected. Take pictures with them: they come in here.`
}

/** Clear space that a reader needs around a symbol, in modules (ISO/IEC 18004). */
const quiet = 4

function Symbol({ rows }: { rows: readonly string[] }) {
  const side = rows.length + 2 * quiet
  const path = rows
    .flatMap((row, y) =>
      [...row.matchAll(/1+/g)].map(({ index, 0: run }) => `M${index} ${y}h${run.length}v1h-${run.length}z`),
    )
    .join('')
  return (
    <svg
      className="phone-symbol"
      role="img"
      aria-label="Code for the phone’s camera"
      viewBox={`${-quiet} ${-quiet} ${side} ${side}`}
      shapeRendering="crispEdges"
    >
      <rect x={-quiet} y={-quiet} width={side} height={side} />
      <path d={path} />
    </svg>
  )
}
