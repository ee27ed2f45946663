import './shelf.css'
import { useEffect } from 'react'
import { closeShelfDialog, useShelf } from '../../state/shelf.ts'
import { MaterialsList } from './list/materials-list.tsx'
import { NewMaterialDialog } from './list/new-material-dialog.tsx'
import { MaterialPage } from './material/material-page.tsx'
import { ReplaceDialog } from './material/replace-dialog.tsx'

/** What formulas are made with. @param materialId null: all of it */
export function ShelfPlace({ materialId }: { materialId: string | null }) {
  const [adding, replacing] = [useShelf((s) => s.adding), useShelf((s) => s.replacing)]
  useEffect(() => closeShelfDialog, [])
  return (
    <>
      {materialId === null ? <MaterialsList /> : <MaterialPage key={materialId} materialId={materialId} />}
      {adding ? <NewMaterialDialog /> : null}
      {replacing !== null && replacing === materialId ? <ReplaceDialog materialId={replacing} /> : null}
    </>
  )
}
