// oxlint-disable-next-line import/no-unassigned-import -- has to have happened before anything else is imported
import './no-eval.ts'
import '@fontsource-variable/archivo/standard.css'
import './styles/tokens.css'
import './styles/base.css'
import './styles/controls.css'
import { createRoot } from 'react-dom/client'
import type { WindowBridge } from '../shared-core/contract/host.ts'
import { App } from './app.tsx'
import { browserClient } from './client/browser-client.ts'
import { useAsClient } from './client/client.ts'
import { windowClient } from './client/window-client.ts'
import { Boundary } from './frame/boundary.tsx'
import { NotEntered } from './frame/not-entered.tsx'
import { hearFaults } from './state/report.ts'
import { startState } from './state/start.ts'

const root = createRoot(document.getElementById('root')!)
try {
  const bridge = (window as { overground?: WindowBridge }).overground
  useAsClient(bridge ? windowClient(bridge) : await browserClient())
  hearFaults()
  await startState()
  root.render(
    <Boundary of="page">
      <App />
    </Boundary>,
  )
} catch {
  root.render(<NotEntered />)
}
