import { type ReactNode, useRef } from 'react'
import { useOnTop } from './open-dialogs.ts'

/** A sheet over the place. Escape or a press beside it turns back; focus stays inside and returns where it was. */
export function Dialog({ title, onClose, children }: { title: string; onClose: () => void; children: ReactNode }) {
  const dialog = useRef<HTMLDialogElement>(null)
  useOnTop(dialog)
  return (
    <dialog
      ref={dialog}
      className="dialog"
      aria-label={title}
      onCancel={(event) => {
        event.preventDefault()
        onClose()
      }}
      onPointerDown={(event) => {
        if (event.target === dialog.current) onClose()
      }}
    >
      <div className="dialog-sheet">
        <h2 className="say">{title}</h2>
        {children}
      </div>
    </dialog>
  )
}
