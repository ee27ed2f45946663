import { contextBridge, ipcRenderer, webUtils } from 'electron'
import type { Event } from '../../shared-core/contract/calls.ts'
import type { WindowBridge } from '../../shared-core/contract/host.ts'

/** All that a page in a window can reach of the main process. The page gets functions, never the channel itself. */
const bridge: WindowBridge = {
  capabilities: { kind: 'window', canPickFolder: true, canPrint: true, canOpenLogs: true },
  call: (name, input) => ipcRenderer.invoke('call', name, input),
  onEvent: (listener) => {
    const hear = (_from: unknown, event: Event) => listener(event)
    ipcRenderer.on('event', hear)
    return () => void ipcRenderer.off('event', hear)
  },
  pathOf: (file) => webUtils.getPathForFile(file as Parameters<typeof webUtils.getPathForFile>[0]),
  stage: (name, bytes) => ipcRenderer.invoke('stage', name, bytes),
  pickFolder: (title) => ipcRenderer.invoke('pick-folder', title),
  pickSave: (title, fileName) => ipcRenderer.invoke('pick-save', title, fileName),
  printLabels: (input) => ipcRenderer.invoke('print-labels', input),
  printInput: () => ipcRenderer.invoke('print-input'),
  printReady: () => ipcRenderer.invoke('print-ready'),
  viewDocument: (documentId) => ipcRenderer.invoke('view-document', documentId),
  openLink: (link) => ipcRenderer.invoke('open-link', link),
  details: () => ipcRenderer.invoke('details'),
  openLogs: () => ipcRenderer.invoke('open-logs'),
  saveDocument: (documentId) => ipcRenderer.invoke('save-document', documentId),
}

contextBridge.exposeInMainWorld('overground', bridge)
