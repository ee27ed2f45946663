import type { Stage, View } from '../../../../shared-core/records/colour.ts'
import type { Bench, PanelLook, PhotoPlan } from '../picture/plan.ts'
import type { Random } from '../random.ts'
import { compose, type LightKey, type PhoneKey, phones } from './compose.ts'
import { lookOf } from './looks.ts'
import type { PanelIdea } from './panels.ts'

/** A photo that somebody took, and where it goes. */
export type Shot = {
  /** File name as the phone gave it. */
  name: string
  plan: PhotoPlan
  phone: PhoneKey
  takenAt: Date
  light: LightKey
  view: View
  stage: Stage
  ageDays: number | null
}

const dayMs = 86_400_000

/** Photographed at a desk hour some days after spraying; never while the booth is in use. */
const someDaysLater = (from: Date, random: Random, least: number, most: number): Date =>
  new Date(from.getTime() + random.whole(least, most) * dayMs + Math.round(random.between(9, 17.5) * 3600) * 1000)

/** The workshop changed phones on its way, and the bench is whatever lay there. */
function circumstances(takenAt: Date, random: Random): { phone: PhoneKey; bench: Bench } {
  const phone = takenAt.getTime() < Date.UTC(2025, 1, 1) ? 'old' : random.pick<PhoneKey>(['new', 'wide', 'wide'])
  return { phone, bench: random.pick<Bench>(['mat', 'mat', 'paper', 'board', 'steel', 'sheet']) }
}

const fileName = (takenAt: Date, phone: PhoneKey): string =>
  `${phones[phone].model.split(' ')[0]?.toLowerCase()}-${takenAt.toISOString().slice(0, 16).replaceAll(/[-:]/g, '').replace('T', '-')}.jpg`

type Wanted = { seed: string; light: LightKey; view: View; tag: string | null }

function take(idea: PanelIdea, takenAt: Date, sprayed: Date, wanted: Wanted, random: Random, looks: Random): Shot {
  const { phone, bench } = circumstances(takenAt, random)
  const plan = compose({ ...wanted, look: lookOf(idea, looks), phone, bench, card: true }, wanted.seed, random)
  const ageDays = Math.floor((takenAt.getTime() - sprayed.getTime()) / dayMs)
  const stage = idea.cleared ? (ageDays < 10 ? 'cleared' : 'cured') : 'dry'
  return {
    name: fileName(takenAt, phone),
    plan,
    phone,
    takenAt,
    stage,
    ageDays,
    light: wanted.light,
    view: wanted.view,
  }
}

/** The photos of one sprayed panel: the first always face on under booth tubes or the LED lamp. */
export function shotsOf(idea: PanelIdea, code: string, sprayed: Date, random: Random): Shot[] {
  const first = someDaysLater(sprayed, random, 2, 14)
  const tag = random.chance(0.75) ? code : null
  const light = random.pick<LightKey>(['booth', 'booth', 'booth', 'led'])
  const seed = (n: number) => `${code}/${n}`
  // Each photo shows the same panel, so the scatter of its coats comes from one generator.
  const looks = () => random.fork('look')
  const shots = [take(idea, first, sprayed, { seed: seed(1), light, view: 'face', tag }, random.fork('first'), looks())]
  const { again } = idea
  if (!again) return shots
  const view: View = again === 'near-glare' || again === 'flop' ? again : 'face'
  const other: LightKey = again === 'sun' || again === 'lamp' ? again : light
  const later =
    again === 'sun' || again === 'lamp' ? someDaysLater(first, random, 1, 40) : new Date(first.getTime() + 95_000)
  shots.push(take(idea, later, sprayed, { seed: seed(2), light: other, view, tag }, random.fork('again'), looks()))
  return shots
}

/** Photos that wait in the tray: panels looked at again, their code on the slip. */
export function trayShot(idea: PanelIdea, code: string, sprayed: Date, takenAt: Date, random: Random): Shot {
  const wanted = { seed: `tray/${code}`, light: 'overcast', view: 'face', tag: code } as const
  return take(idea, takenAt, sprayed, wanted, random.fork('tray'), random.fork('look'))
}

/** Something a customer brought: no code, no hole, no steps. */
export function referenceShot(idea: PanelIdea, takenAt: Date, random: Random): Shot {
  const wanted = { seed: `reference/${idea.title}`, light: 'booth', view: 'face', tag: null } as const
  const shot = take(idea, takenAt, takenAt, wanted, random.fork('taken'), random.fork('look'))
  const panel = { ...shot.plan.panel, widthMm: phones[shot.phone].upright ? 94 : 118, heightMm: 84, hole: false }
  return { ...shot, ageDays: null, plan: { ...shot.plan, panel } }
}

/** A check panel laid under what the customer brought, edge to edge: one photo, in which their difference is known best. */
export function checkShot(
  idea: PanelIdea,
  { code, takenAt, brought }: { code: string; takenAt: Date; brought: PanelLook },
  random: Random,
): Shot {
  const wanted = { seed: `check/${code}`, light: 'booth', view: 'face', tag: code } as const
  const shot = take(idea, takenAt, takenAt, wanted, random.fork('taken'), random.fork('look'))
  const [above, below] = [brought.steps[0], shot.plan.panel.steps[0]]
  if (!above || !below) throw new Error(`${code} has no step.`)
  const panel = { ...shot.plan.panel, heightMm: 150, hole: false, steps: [above, below], ends: [0.5, 1] }
  return { ...shot, ageDays: 1, plan: { ...shot.plan, panel } }
}
