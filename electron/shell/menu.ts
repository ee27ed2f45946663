import { Menu, type MenuItemConstructorOptions } from 'electron'

/**
 * A small menu. Undo and redo are not in it: they would take Ctrl+Z from the page, where it undoes changes of the rack
 * (and of the text in a field that is being typed in).
 */
export function setMenu(): void {
  const mac = process.platform === 'darwin'
  const template: MenuItemConstructorOptions[] = [
    ...(mac ? [{ role: 'appMenu' } as const] : []),
    { label: 'File', submenu: [{ role: mac ? 'close' : 'quit' }] },
    { label: 'Edit', submenu: [{ role: 'cut' }, { role: 'copy' }, { role: 'paste' }, { role: 'selectAll' }] },
    {
      label: 'View',
      submenu: [
        { role: 'reload' },
        { type: 'separator' },
        { role: 'resetZoom' },
        { role: 'zoomIn' },
        { role: 'zoomOut' },
        { type: 'separator' },
        { role: 'togglefullscreen' },
        ...(process.env.OVERGROUND_DEVTOOLS === '1' ? [{ role: 'toggleDevTools' } as const] : []),
      ],
    },
    { role: 'windowMenu' },
  ]
  Menu.setApplicationMenu(Menu.buildFromTemplate(template))
}
