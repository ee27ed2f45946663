import type { Migration } from '../opening/migrate.ts'

/** Whether a material is on hand. What racks of earlier versions name counts as on the shelf until somebody says otherwise. */
export const whatIsOnTheShelf: Migration = {
  name: 'what is on the shelf',
  up: (run) => run('alter table material add column on_shelf integer not null default 1 check (on_shelf in (0, 1))'),
}
