import * as fc from 'fast-check'

/**
 * Random cases are the same in every run, so that a test that passed passes again; `OVERGROUND_SEED` names another seed,
 * and `OVERGROUND_SEED=new` takes a fresh one.
 */
const wanted = process.env['OVERGROUND_SEED'] ?? '20261125'
fc.configureGlobal({ seed: wanted === 'new' ? Date.now() % 2 ** 31 : Number(wanted) })
