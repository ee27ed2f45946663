/** Coats as strokes, one each, half of one for half a coat; a dash is bare ground. The number always stands nearby in words. */
export function Strokes({ coats }: { coats: number }) {
  const whole = Math.min(Math.floor(coats), 12)
  if (coats === 0)
    return (
      <span className="strokes" aria-hidden="true">
        <i className="bare" />
      </span>
    )
  return (
    <span className="strokes" aria-hidden="true">
      {Array.from({ length: whole }, (_, i) => (
        <i key={i} />
      ))}
      {coats % 1 === 0 ? null : <i className="half" />}
    </span>
  )
}

/** "bare", "1 coat", "4 coats". */
export function coatsInWords(coats: number): string {
  if (coats === 0) return 'bare'
  return coats === 1 ? '1 coat' : `${coats} coats`
}

/** "4 coats", "1–4 coats", "0–4 coats". */
export function coatRange(from: number, to: number): string {
  return from === to ? coatsInWords(to) : `${from}–${to} coats`
}
