import './label.css'
import { useEffect, useState } from 'react'
import type { WindowBridge } from '../../../shared-core/contract/host.ts'
import type { LabelPage } from '../../../shared-core/records/label.ts'
import { client } from '../../client/client.ts'
import { loadLabelFace } from './label-face.ts'
import { LabelSheet } from './label-sheet.tsx'

/** The page that the window prints: nothing but labels, one to a sheet. */
export function PrintLabels() {
  const [pages, setPages] = useState<LabelPage[]>([])
  useEffect(() => {
    void prepare().then(setPages)
  }, [])
  useEffect(() => {
    if (pages.length === 0) return
    // two frames: the labels are laid out and painted, then the print may begin
    requestAnimationFrame(() => requestAnimationFrame(() => void bridge()?.printReady()))
  }, [pages])
  return (
    <main className="label-print">
      {pages.map((page, i) => (
        <LabelSheet key={i} page={page} className="label-paper" />
      ))}
    </main>
  )
}

const bridge = (): WindowBridge | undefined => (window as { overground?: WindowBridge }).overground

async function prepare(): Promise<LabelPage[]> {
  const input = await bridge()?.printInput()
  if (!input) return []
  const laidOut = await client().call('labels.layOut', input)
  await loadLabelFace()
  return laidOut.ok ? laidOut.value.pages : []
}
