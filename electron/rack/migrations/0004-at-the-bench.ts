import type { Migration } from '../opening/migrate.ts'

const shelf = [
  'alter table material add column on_hand real check (on_hand >= 0)',
  "alter table material add column on_hand_basis text check (on_hand_basis in ('volume', 'mass'))",
  'alter table material add column opened_on text',
  'alter table material add column reorder_at real check (reorder_at > 0)',
  'alter table material add column data_sheet_sha256 text check (length(data_sheet_sha256) = 64)',
  'alter table material add column data_sheet_name text',
  'alter table material add column pot_life_min real check (pot_life_min > 0)',
  'alter table material add column flake_micron real check (flake_micron > 0)',
  'alter table material add column isocyanate integer check (isocyanate in (0, 1))',
  'alter table material add column replaced_by_id text references material (id) on delete restrict',
]

const jobs = [
  `create table customer_job (
    id text primary key not null,
    code text not null unique check (code <> ''),
    title text not null check (title <> ''),
    customer text not null,
    status text not null check (status in ('open', 'accepted', 'painted', 'closed')),
    reference_id text references reference (id) on delete restrict,
    tolerance real not null check (tolerance > 0),
    due_on text,
    candidates text not null check (json_valid(candidates)),
    formula text check (json_valid(formula)),
    parts text not null check (json_valid(parts)),
    checks text not null check (json_valid(checks)),
    decisions text not null check (json_valid(decisions)),
    notes text not null,
    created_at text not null,
    deleted_at text
  ) strict`,
  'create index customer_job_reference on customer_job (reference_id) where reference_id is not null',
]

const cups = [
  `create table cup (
    id text primary key not null,
    code text not null unique check (code <> ''),
    title text not null,
    customer_job_id text references customer_job (id) on delete restrict,
    panel_id text references panel (id) on delete restrict,
    mixture text not null check (json_valid(mixture)),
    target text not null check (json_valid(target)),
    measure text not null check (json_valid(measure)),
    cup_ml real check (cup_ml > 0),
    tip_mm real check (tip_mm > 0),
    status text not null check (status in ('pouring', 'mixed', 'thrown-away')),
    started_at text not null,
    mixed_at text,
    mixed_by text not null,
    hardener_at text,
    stand_until text,
    pot_life_until text,
    notes text not null
  ) strict`,
  'create index cup_job on cup (customer_job_id) where customer_job_id is not null',
  'create index cup_panel on cup (panel_id) where panel_id is not null',
  `create table cup_line (
    id text primary key not null,
    cup_id text not null references cup (id) on delete restrict,
    position integer not null,
    material_id text not null references material (id) on delete restrict,
    name text not null,
    kind text not null,
    powder integer not null check (powder in (0, 1)),
    wanted real not null check (wanted >= 0),
    poured real check (poured >= 0),
    accepted integer not null default 0 check (accepted in (0, 1)),
    batch text not null
  ) strict`,
  'create index cup_line_cup on cup_line (cup_id, position)',
  'create index cup_line_material on cup_line (material_id)',
]

const moves = [
  `create table stock_move (
    id text primary key not null,
    material_id text not null references material (id) on delete restrict,
    at text not null,
    amount real not null,
    basis text not null check (basis in ('volume', 'mass')),
    why text not null check (why in ('poured', 'counted', 'bought', 'thrown-away')),
    cup_id text references cup (id) on delete restrict,
    batch text not null,
    who text not null
  ) strict`,
  'create index stock_move_material on stock_move (material_id, at)',
  'create index stock_move_cup on stock_move (cup_id) where cup_id is not null',
  `create table replacement (
    id text primary key not null,
    at text not null,
    who text not null,
    material_id text not null references material (id) on delete restrict,
    by_material_id text not null references material (id) on delete restrict,
    panel_ids text not null check (json_valid(panel_ids)),
    customer_job_ids text not null check (json_valid(customer_job_ids))
  ) strict`,
  'create index replacement_material on replacement (material_id)',
  'create index replacement_by on replacement (by_material_id)',
]

const codes = [
  'alter table rack_info add column next_cup integer not null default 1 check (next_cup > 0)',
  'alter table rack_info add column next_job integer not null default 1 check (next_job > 0)',
]

/** What is on hand and what became of it, cups that were mixed, and customers' jobs. */
export const atTheBench: Migration = {
  name: 'cups, jobs and what is on hand',
  up: async (run) => {
    for (const statement of [...shelf, ...jobs, ...cups, ...moves, ...codes]) await run(statement)
  },
}
