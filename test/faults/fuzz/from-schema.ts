import { z } from 'zod'
import type { Random } from './random.ts'
import { hostileNumber, hostileText } from './texts.ts'

/** The parts of JSON Schema (draft 2020-12) that zod writes. */
type Json = {
  type?: string | string[]
  properties?: Record<string, Json>
  required?: string[]
  items?: Json | false
  prefixItems?: Json[]
  anyOf?: Json[]
  oneOf?: Json[]
  allOf?: Json[]
  enum?: unknown[]
  const?: unknown
  minimum?: number
  maximum?: number
  exclusiveMinimum?: number
  exclusiveMaximum?: number
  minLength?: number
  maxLength?: number
  minItems?: number
  maxItems?: number
  additionalProperties?: Json | boolean
  propertyNames?: Json
  default?: unknown
  pattern?: string
  $ref?: string
  $defs?: Record<string, Json>
}

export type Making = {
  random: Random
  /** How likely each value is one that the schema forbids. */
  wrong: number
  /** A value for a text of this name (an id that there is, a path inside the sandbox), or undefined. */
  known: (key: string) => string | undefined
}

/** A maker of inputs for a schema of the contract: near its limits, on them, and beyond. */
export function makerOf(schema: z.ZodType): (making: Making) => unknown {
  const root = z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }) as Json
  const resolve = (json: Json): Json => {
    if (json.$ref === undefined) return json
    if (json.$ref === '#') return root
    return root.$defs?.[json.$ref.split('/').at(-1) ?? ''] ?? {}
  }
  const make = (given: Json, key: string, depth: number, making: Making): unknown => {
    const json = resolve(given)
    const { random } = making
    if (random.chance(making.wrong)) return strange(random, depth)
    if (json.const !== undefined) return json.const
    if (json.enum) return random.pick(json.enum)
    const options = json.anyOf ?? json.oneOf
    if (options) {
      // the last is mostly null, which ends what would go on for ever
      const at = depth > 12 ? options.length - 1 : random.int(options.length)
      return make(options[at] ?? {}, key, depth + 1, making)
    }
    if (json.allOf) return Object.assign({}, ...json.allOf.map((part) => make(part, key, depth + 1, making)))
    switch (Array.isArray(json.type) ? random.pick(json.type) : json.type) {
      case 'object':
        return object(json, key, depth, making)
      case 'array':
        return list(json, key, depth, making)
      case 'string':
        return text(json, key, making)
      case 'integer':
      case 'number':
        return figure(json, making)
      case 'boolean':
        return random.chance(0.5)
      case 'null':
        return null
      default:
        return strange(random, depth)
    }
  }
  const object = (json: Json, key: string, depth: number, making: Making): unknown => {
    const made: Record<string, unknown> = {}
    for (const [name, property] of Object.entries(json.properties ?? {}))
      if (json.required?.includes(name) || making.random.chance(0.5))
        made[name] = make(property, name, depth + 1, making)
    if (typeof json.additionalProperties === 'object')
      for (let i = making.random.few(4) - 1; i > 0; i--)
        made[making.known(key) ?? hostileText(making.random, 40)] = make(
          json.additionalProperties,
          key,
          depth + 1,
          making,
        )
    // a part of a formula is one or the other, which no JSON Schema says
    if (making.wrong === 0 && 'material' in made && 'mixture' in made)
      made[made['material'] === null && depth < 20 ? 'material' : 'mixture'] = null
    if (making.wrong === 0 && made['material'] === null && (made['mixture'] ?? null) === null && 'mixture' in made)
      made['material'] = { id: null, name: 'copper', kind: 'concentrate' }
    if (making.random.chance(making.wrong)) made[making.random.pick(['__proto__', 'constructor', 'extra', ''])] = 1
    return made
  }
  const list = (json: Json, key: string, depth: number, making: Making): unknown => {
    const { random } = making
    if (json.prefixItems) return json.prefixItems.map((item) => make(item, key, depth + 1, making))
    if (!json.items) return []
    const most = json.maxItems ?? 60
    const least = json.minItems ?? 0
    const small = least + random.int(Math.max(1, Math.min(4, most - least + 1)))
    // one list in a hundred is as long as it may be, or longer by one
    const count =
      depth < 4 && random.chance(0.01)
        ? Math.min(most + (making.wrong === 0 ? 0 : random.int(2)), 3000)
        : depth > 12
          ? least
          : small
    const item = json.items
    return Array.from({ length: count }, () => make(item, key, depth + 1, making))
  }
  const text = (json: Json, key: string, { random, known, wrong }: Making): string => {
    const one = known(key)
    if (one !== undefined) return one
    const made = hostileText(random, json.maxLength ?? 2000)
    if (wrong === 0) {
      if (json.pattern) return fitting(json.pattern, random)
      const most = json.maxLength ?? 300
      const short = made.slice(0, most)
      return short.trim().length < (json.minLength ?? 0) ? 'x'.repeat(json.minLength ?? 0) : short
    }
    if (json.pattern && random.chance(0.7))
      return random.pick(['2024-05-17', '2024-13-40', '#a1b2c3', 'https://example.org/x', 'P-0001'])
    if (json.maxLength !== undefined && made.length > json.maxLength && random.chance(0.8))
      return made.slice(0, json.maxLength)
    return json.minLength && made.trim().length < json.minLength && random.chance(0.8)
      ? `x${made}`.slice(0, json.maxLength)
      : made
  }
  const figure = (json: Json, { random, wrong }: Making): number => {
    const { minimum = json.exclusiveMinimum, maximum = json.exclusiveMaximum } = json
    if (wrong === 0) return allowed(json, random)
    const edges = [minimum, maximum].filter((edge): edge is number => edge !== undefined && Math.abs(edge) < 9e15)
    if (edges.length > 0 && random.chance(0.3)) return random.pick(edges) + random.pick([0, 0, 1, -1, 1e-9])
    const raw = hostileNumber(random)
    const inside = random.chance(0.85)
      ? Math.min(maximum ?? raw, Math.max(minimum ?? raw, Number.isFinite(raw) ? raw : 3))
      : raw
    return json.type === 'integer' && random.chance(0.9) ? Math.round(inside) : inside
  }
  return (making) => make(root, '', 0, making)
}

/** A number that the schema takes, often at its edge. */
function allowed(json: Json, random: Random): number {
  const isWhole = json.type === 'integer'
  const tiny = isWhole ? 1 : 1e-9
  const least = Math.max(json.minimum ?? -1e9, (json.exclusiveMinimum ?? -1e9) + tiny)
  const most = Math.min(json.maximum ?? 1e9, (json.exclusiveMaximum ?? 1e9) - tiny)
  if (random.chance(0.2)) return random.pick([least, most])
  const raw = random.chance(0.6)
    ? random.pick([0, 1, 2, 4, 10, 50, 100])
    : random.chance(0.7)
      ? random.float() * 100
      : hostileNumber(random)
  const inside = Math.min(most, Math.max(least, Number.isFinite(raw) ? raw : 1))
  return isWhole ? Math.round(inside) : inside
}

/** A text that the pattern takes, of those that the contract's patterns are for. */
function fitting(pattern: string, random: Random): string {
  const likely = [
    '2024-05-17',
    '2024-02-29',
    '#a1b2c3',
    'https://example.org/x',
    'P-0001',
    '2024-05-17T10:00:00.000Z',
    'a'.repeat(64),
    '',
  ]
  const fits = likely.filter((one) => new RegExp(pattern, 'u').test(one))
  return fits.length > 0 ? random.pick(fits) : ''
}

/** Something that nobody asked for. */
function strange(random: Random, depth: number): unknown {
  const deep = (levels: number): unknown => {
    let value: unknown = 1
    for (let i = 0; i < levels; i++) value = i % 2 ? [value] : { mixture: value, parts: value }
    return value
  }
  switch (random.int(12)) {
    case 0:
      return null
    case 1:
      return undefined
    case 2:
      return random.chance(0.5)
    case 3:
      return hostileNumber(random)
    case 4:
      return []
    case 5:
      return {}
    case 6:
      return BigInt(7)
    case 7:
      return new Date(Number.NaN)
    case 8:
      return depth < 3 && random.chance(0.1) ? deep(random.pick([20, 299, 301, 900])) : [[[[]]]]
    case 9:
      return new Map([['id', { toString: 1 }]])
    case 10:
      return random.bytes(8)
    default:
      return hostileText(random)
  }
}
