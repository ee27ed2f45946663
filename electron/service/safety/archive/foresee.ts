import { stat } from 'node:fs/promises'
import { join } from 'node:path'
import type { Input, Output } from '../../../../shared-core/contract/calls.ts'
import { databaseName } from '../../../rack/archive/form.ts'
import { sideBySide } from '../../../rack/archive/merge/side-by-side.ts'
import { archiveChanged } from '../../../rack/archive/refusals.ts'
import { askWorker, mostWorkMs } from '../../../rack/archive/worker/ask-worker.ts'
import type { Context } from '../../context.ts'
import { type Looked, lookedAt } from './compare.ts'

function looked(context: Context, id: string): Looked {
  const found = lookedAt(context)
  if (found?.comparison.id !== id) throw archiveChanged()
  return found
}

/** One of the panels that were looked at, field by field. */
export async function compareOne(
  context: Context,
  { comparisonId, panelId }: Input<'archive.compareOne'>,
): Promise<Output<'archive.compareOne'>['groups']> {
  const { comparison, records } = looked(context, comparisonId)
  const panel = comparison.panels.find(({ id }) => id === panelId)
  if (!panel) throw archiveChanged()
  return context.rack().read((db) => sideBySide(db, records, { panelId, ours: panel.ours?.id ?? null }))
}

/** Which question is being answered: the next one takes its place, for the painter has decided otherwise meanwhile. */
const underway = new WeakMap<Context, AbortController>()

/** Works the taking in out as it is decided at the moment, and writes nothing. */
export async function foreseeCodes(
  context: Context,
  { comparisonId, ...wish }: Input<'archive.foreseeCodes'>,
): Promise<Record<string, string>> {
  const { records } = looked(context, comparisonId)
  underway.get(context)?.abort(archiveChanged())
  const abort = new AbortController()
  underway.set(context, abort)
  const ours = join(context.rack().folder, databaseName)
  return (
    await askWorker(
      'merge',
      { theirs: records, ours, wish, plan: null },
      abort.signal,
      mostWorkMs((await stat(records)).size),
    )
  ).codes
}
