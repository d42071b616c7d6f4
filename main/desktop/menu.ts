/** The menu: the system's own editing, zoom and window entries, and nothing that reaches around the app. */
import { Menu, type MenuItemConstructorOptions } from 'electron';

export function menuTemplate(platform: NodeJS.Platform): MenuItemConstructorOptions[] {
  return [
    platform === 'darwin' ? { role: 'appMenu' } : { label: 'Lanebench', submenu: [{ role: 'quit' }] },
    { role: 'editMenu' },
    {
      label: 'View',
      submenu: [
        { role: 'zoomIn' },
        { role: 'zoomOut' },
        { role: 'resetZoom' },
        { type: 'separator' },
        { role: 'togglefullscreen' },
      ],
    },
    { role: 'windowMenu' },
  ];
}

export function setMenu(): void {
  Menu.setApplicationMenu(Menu.buildFromTemplate(menuTemplate(process.platform)));
}
