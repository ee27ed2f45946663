import { Triangle } from './icons.tsx'

/** A caution: triangle, what it is about, what to do. */
export function Caution({ message, remedy }: { message: string; remedy?: string }) {
  return (
    <div className="warn" role="note">
      <Triangle />
      <p>
        <b>{message}</b>
        {remedy ? ` ${remedy}` : ''}
      </p>
    </div>
  )
}
