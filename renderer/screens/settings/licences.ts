/**
 * Packages that reach the user and that ours name, as each package's own file states its licence; a test compares both. All that
 * they need in their turn stands in `notices.json`.
 */
export type Licence = { name: string; package: string; licence: string }

export const licences: readonly Licence[] = [
  { name: 'Archivo (typeface)', package: '@fontsource-variable/archivo', licence: 'OFL-1.1' },
  { name: 'DejaVu (typeface on labels)', package: 'dejavu-fonts-ttf', licence: 'Bitstream Vera' },
  { name: 'better-sqlite3', package: 'better-sqlite3', licence: 'MIT' },
  { name: 'Electron', package: 'electron', licence: 'MIT' },
  { name: 'exifr', package: 'exifr', licence: 'MIT' },
  { name: 'Kysely', package: 'kysely', licence: 'MIT' },
  { name: 'libheif-js', package: 'libheif-js', licence: 'LGPL-3.0' },
  { name: 'ml-matrix', package: 'ml-matrix', licence: 'MIT' },
  { name: 'PDFKit', package: 'pdfkit', licence: 'MIT' },
  { name: 'React', package: 'react', licence: 'MIT' },
  { name: 'React DOM', package: 'react-dom', licence: 'MIT' },
  { name: 'React Aria Components', package: 'react-aria-components', licence: 'Apache-2.0' },
  { name: 'saxes', package: 'saxes', licence: 'ISC' },
  { name: 'sharp', package: 'sharp', licence: 'Apache-2.0' },
  { name: 'libvips (inside sharp)', package: 'sharp-libvips', licence: 'LGPL-3.0-or-later' },
  { name: 'uuid', package: 'uuid', licence: 'MIT' },
  { name: 'yauzl', package: 'yauzl', licence: 'MIT' },
  { name: 'yazl', package: 'yazl', licence: 'MIT' },
  { name: 'Zod', package: 'zod', licence: 'MIT' },
  { name: 'Zustand', package: 'zustand', licence: 'MIT' },
  { name: 'zxing-wasm', package: 'zxing-wasm', licence: 'MIT' },
]
