import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fitFilm } from '../../shared-core/film/fit.ts'
import { predictRecipe } from '../../shared-core/film/predict.ts'
import { type LibraryFile, libraryOf, recipeOf } from './film/library.ts'

const usage = 'usage: bench -- film CASES OUT'
const ending = '.library.json'

/** `film CASES OUT`: for each `NAME.library.json` writes `NAME.predictions.json`, what was asked and never sprayed. */
export async function run(args: string[]): Promise<void> {
  const [cases, out] = args
  if (cases === undefined || out === undefined || args.length > 2) throw new Error(usage)
  mkdirSync(out, { recursive: true })
  for (const name of readdirSync(cases).filter((file) => file.endsWith(ending))) {
    const file = JSON.parse(readFileSync(join(cases, name), 'utf8')) as LibraryFile
    if (file.format !== 'film-library/1') throw new Error(`${name}: "${file.format}" is no form that is read here.`)
    const library = libraryOf(file)
    const start = performance.now()
    const fit = fitFilm(library)
    const fitMs = performance.now() - start
    const predictions = file.questions.flatMap((question) => {
      const said = predictRecipe(fit, recipeOf(question))
      if (said === null) {
        console.log(`  ${question.id}: its ground, a candy or its mid coat is nowhere on this rack`)
        return []
      }
      const { lab, bound90, nextPanel90 } = said
      return [{ id: question.id, labD50: [lab.l, lab.a, lab.b], bound90, nextPanel90 }]
    })
    const stem = name.slice(0, -ending.length)
    writeFileSync(join(out, `${stem}.predictions.json`), `${JSON.stringify({ predictions }, null, 1)}\n`)
    const outcome = fit.converged ? '' : '  has not converged'
    console.log(
      `${stem.padEnd(16)} ${library.observations.length} readings  fit ${fitMs.toFixed(0)} ms, ${fit.steps} steps${outcome}  ${predictions.length} predicted`,
    )
  }
}
