import { useEffect } from 'react'
import { useStore } from '../../state/store.ts'
import { openNotebook } from './notebook-state.ts'

const isTable = (file: File | undefined): file is File => file !== undefined && /\.(csv|tsv)$/i.test(file.name)

/**
 * A table dropped anywhere on the window opens the sheet for it. While another sheet is open, which may take such a
 * file itself, nothing is done; what is no table is left to the place it was dropped on.
 */
export function NotebookDrop() {
  const hasRack = useStore((s) => Boolean(s.rack))
  useEffect(() => {
    if (!hasRack) return
    const isBusy = () => document.querySelector('dialog[open]') !== null
    const over = (event: DragEvent) => {
      if (isBusy() || !event.dataTransfer?.types.includes('Files')) return
      // without this the window would not let go of it here
      event.preventDefault()
    }
    const drop = (event: DragEvent) => {
      const files = event.dataTransfer?.files
      const file = files?.[0]
      if (isBusy() || files?.length !== 1 || !isTable(file)) return
      event.preventDefault()
      openNotebook(file)
    }
    addEventListener('dragover', over)
    // before the place: the tray takes in whatever nobody has taken
    addEventListener('drop', drop, { capture: true })
    return () => {
      removeEventListener('dragover', over)
      removeEventListener('drop', drop, { capture: true })
    }
  }, [hasRack])
  return null
}
