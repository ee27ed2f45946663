import { readdirSync, readFileSync } from 'node:fs'
import { builtinModules } from 'node:module'
import { join, posix, relative, sep } from 'node:path'
import { parseSync } from 'vite'

/** One import as it stands in a file: static, dynamic, `export … from`, a type's `import('…')`, or `require`. */
export type Import = { from: string; to: string }

const builtin = new Set(builtinModules)
const isNode = (to: string) => to.startsWith('node:') || builtin.has(to.split('/')[0] ?? to)
const isOurs = (to: string) => to.startsWith('.') || to.startsWith('/')

/** Every source file of the three sides, with `/` between folders. */
export function sourceFiles(root: string): string[] {
  return ['electron', 'renderer', 'shared-core'].flatMap((side) =>
    readdirSync(join(root, side), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && /\.(ts|tsx|mjs|js|mts|cts)$/.test(entry.name))
      .map((entry) => relative(root, join(entry.parentPath, entry.name)).split(sep).join('/')),
  )
}

/** What a source text imports. It is parsed, not searched: comments and strings that look like imports are neither. */
export function importsIn(file: string, text: string): string[] {
  const parsed = parseSync(file, text)
  if (parsed.errors.length > 0) throw new Error(`${file}: ${parsed.errors[0]?.message}`)
  const found: string[] = []
  const literal = (node: unknown) => {
    const { type, value, quasis } = node as { type: string; value?: unknown; quasis?: { value: { cooked: string } }[] }
    if (type === 'Literal' && typeof value === 'string') found.push(value)
    else if (type === 'TemplateLiteral' && quasis?.length === 1 && quasis[0]) found.push(quasis[0].value.cooked)
    else throw new Error(`${file}: an import that is computed cannot be checked`)
  }
  const walk = (node: unknown): void => {
    if (Array.isArray(node)) return node.forEach(walk)
    if (node === null || typeof node !== 'object') return
    const one = node as Record<string, unknown> & { type?: string }
    if (one.type === 'ImportExpression' || one.type === 'TSImportType') literal(one.source ?? one.argument)
    else if (/^(Import|ExportNamed|ExportAll)Declaration$/.test(one.type ?? '') && one.source) literal(one.source)
    else if (one.type === 'TSExternalModuleReference') literal(one.expression)
    else if (one.type === 'CallExpression' && (one.callee as { name?: string }).name === 'require')
      for (const given of one.arguments as unknown[]) literal(given)
    for (const value of Object.values(one)) walk(value)
  }
  walk(parsed.program)
  return found
}

/** Folders that are one side or part; the longest that fits a file is its own. */
const parts = [
  'shared-core',
  'renderer',
  'electron',
  'electron/shell',
  'electron/http',
  'electron/loopback',
  'electron/phone',
  'electron/phone/page',
  'electron/service',
  'electron/service/link',
  'electron/rack',
  'electron/photos',
  'electron/print',
] as const
type Part = (typeof parts)[number]

/** The arrows: what a part may import of ours besides itself. The host's end of the service is all that hosts see of it. */
const arrows: Readonly<Record<Part, readonly Part[]>> = {
  'shared-core': [],
  renderer: ['shared-core'],
  electron: [],
  'electron/shell': ['shared-core', 'electron/service/link'],
  // what both servers need
  'electron/http': ['shared-core', 'electron/service/link'],
  'electron/loopback': ['shared-core', 'electron/service/link', 'electron/http'],
  'electron/phone': ['shared-core', 'electron/service/link', 'electron/http'],
  // runs in a phone's browser
  'electron/phone/page': [],
  'electron/service/link': ['shared-core'],
  'electron/service': [
    'shared-core',
    'electron/service/link',
    'electron/rack',
    'electron/photos',
    'electron/print',
    'electron/phone',
  ],
  'electron/rack': ['shared-core'],
  'electron/photos': ['shared-core'],
  'electron/print': ['shared-core'],
}

/** Packages that one part alone may import. */
const ownedPackages: Readonly<Record<string, Part>> = {
  electron: 'electron/shell',
  sharp: 'electron/photos',
  'better-sqlite3': 'electron/rack',
  kysely: 'electron/rack',
  pdfkit: 'electron/print',
}
/** Who may listen on a port: the host for this computer's own browser, and the one that phones send pictures to while it is on. */
const listeners: ReadonlySet<Part> = new Set(['electron/http', 'electron/loopback', 'electron/phone'])
const withoutNode: ReadonlySet<Part> = new Set(['shared-core', 'renderer', 'electron/phone/page'])
const listening = new Set(['node:http', 'node:https', 'node:http2', 'node:net', 'node:tls', 'node:dgram'])
/** All that shared-core may use from outside. */
const purePackages = new Set(['zod', 'saxes', 'ml-matrix'])

const partOf = (file: string): Part | undefined =>
  parts.filter((part) => file.startsWith(`${part}/`)).toSorted((a, b) => b.length - a.length)[0]
const packageOf = (to: string) =>
  to
    .split('/')
    .slice(0, to.startsWith('@') ? 2 : 1)
    .join('/')

/** Why an import is a breach, or nothing. */
export function breach({ from, to }: Import): string | undefined {
  const part = partOf(from)
  if (part === undefined) return 'lies in no part'
  if (isOurs(to)) {
    if (to.startsWith('/')) return 'an absolute path'
    if (!/\.(ts|tsx|css|json|mjs)(\?raw)?$/.test(to)) return 'names a file without its extension'
    const target = partOf(posix.normalize(posix.join(posix.dirname(from), to)))
    if (target === undefined) return 'leaves the three sides'
    return target === part || arrows[part].includes(target) ? undefined : `${part} must not import ${target}`
  }
  if (isNode(to)) {
    const named = to.startsWith('node:') ? to : `node:${to}`
    if (withoutNode.has(part)) return `${part} must not import Node`
    return listening.has(named) && !listeners.has(part) ? `${part} must not listen` : undefined
  }
  const name = packageOf(to)
  const owner = ownedPackages[name]
  if (owner !== undefined && owner !== part) return `only ${owner} may import ${name}`
  if (part === 'shared-core' && !purePackages.has(name)) return `shared-core must not import ${name}`
  return undefined
}

/** A file that only hands on what other files export. */
export function isBarrel(file: string, text: string): boolean {
  if (/(^|\/)index\.(ts|tsx|mjs|js)$/.test(file)) return true
  const body = parseSync(file, text).program.body as unknown as { type: string; source?: unknown }[]
  return body.length > 0 && body.every((one) => one.type.startsWith('Export') && Boolean(one.source))
}

export const readSource = (root: string, file: string) => readFileSync(join(root, file), 'utf8')
