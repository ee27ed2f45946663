import { Triangle } from './icons.tsx'

/** What went wrong and what to do, as a call's failure says it. */
export type Said = { message: string; remedy: string }

/** Beside the field that caused it, tied to it by `aria-describedby`. */
export function FieldError({ id, said }: { id: string; said: Said | null }) {
  if (!said) return null
  return (
    <div className="field-error warn" role="alert" id={id}>
      <Triangle />
      <p>
        <b>{said.message}</b> {said.remedy}
      </p>
    </div>
  )
}
