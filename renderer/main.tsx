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
import { NotEntered } from './frame/not-entered.tsx'
import { startState } from './state/start.ts'

const root = createRoot(document.getElementById('root')!)
try {
  const bridge = (window as { overground?: WindowBridge }).overground
  useAsClient(bridge ? windowClient(bridge) : await browserClient())
  await startState()
  root.render(<App />)
} catch {
  root.render(<NotEntered />)
}
