import type { Handlers } from '../dispatch.ts'

export const watchHandlers = {
  'watched.list': async (_, context) => ({ folders: await context.watched.list(context.rack()) }),
  'watched.look': ({ path }, context) => context.watched.look(path),
  'watched.add': async ({ path, takeThoseThere }, context) => ({
    folder: await context.watched.add(context.rack(), path, takeThoseThere),
  }),
  'watched.turn': async ({ folderId, on }, context) => ({
    folder: await context.watched.turn(context.rack(), folderId, on),
  }),
  'watched.remove': async ({ folderId }, context) => {
    await context.watched.remove(context.rack(), folderId)
    return {}
  },
} satisfies Partial<Handlers>
