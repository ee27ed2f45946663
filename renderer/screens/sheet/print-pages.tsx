import './sheet.css'
import { useEffect, useState } from 'react'
import type { Output } from '../../../shared-core/contract/calls.ts'
import type { WindowBridge } from '../../../shared-core/contract/host.ts'
import { client } from '../../client/client.ts'
import { loadLabelFace } from './label-face.ts'
import { PageView } from './page-view.tsx'

type LaidOut = Output<'sheets.layOut'>

/** The page that the window prints: nothing but what is printed, put right for the printer. */
export function PrintPages() {
  const [laidOut, setLaidOut] = useState<LaidOut | null>(null)
  useEffect(() => {
    void prepare().then(setLaidOut)
  }, [])
  useEffect(() => {
    if (!laidOut) return
    // two frames: the pages are laid out and painted, then the print may begin
    requestAnimationFrame(() => requestAnimationFrame(() => void bridge()?.printReady()))
  }, [laidOut])
  return (
    <main className="print-out">
      {laidOut?.pages.map((page, i) => (
        <PageView key={i} page={page} className="print-paper" placement={laidOut.placement} />
      ))}
    </main>
  )
}

const bridge = (): WindowBridge | undefined => (window as { overground?: WindowBridge }).overground

async function prepare(): Promise<LaidOut | null> {
  const wanted = await bridge()?.printInput()
  if (!wanted) return null
  const laidOut = await client().call('sheets.layOut', { wanted, first: null })
  await loadLabelFace()
  return laidOut.ok ? laidOut.value : null
}
