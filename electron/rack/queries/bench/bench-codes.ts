import type { Changing } from '../../history/change.ts'

/**
 * Codes of cups (`C-0001`) and customers' jobs (`J-0001`). One that was given is not given again, not even when the cup or
 * job is undone: by then it may stand on a label. So the counting is no part of what is undone.
 */
export async function giveBenchCode({ db }: Changing, of: 'cup' | 'job'): Promise<string> {
  const column = of === 'cup' ? 'next_cup' : 'next_job'
  const info = await db.selectFrom('rack_info').select(column).executeTakeFirstOrThrow()
  const number: number = (info as Record<typeof column, number>)[column]
  await db
    .updateTable('rack_info')
    .set({ [column]: number + 1 })
    .execute()
  return `${of === 'cup' ? 'C' : 'J'}-${String(number).padStart(4, '0')}`
}
