import { type ChildProcess, fork } from 'node:child_process'
import { existsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Holder } from '../../../electron/rack/opening/lock-holder.ts'
import { leftovers } from '../kit/inspect.ts'
import type { Said, Told } from './contender.ts'

const entry = fileURLToPath(new URL('contender.ts', import.meta.url))

/** Many processes that open one rack at once, again and again. */
export type Crowd = {
  race(rack: string, stale: Holder | null): Promise<{ winners: number; wrong: string[] }>
  end(): void
}

export async function gather(count: number): Promise<Crowd> {
  const children = Array.from({ length: count }, () =>
    fork(entry, [], { serialization: 'advanced', stdio: ['ignore', 'ignore', 'ignore', 'ipc'] }),
  )
  await Promise.all(children.map(heard))
  return {
    race: async (rack, stale) => {
      if (stale) writeFileSync(join(rack, 'lock'), JSON.stringify(stale))
      const said = await Promise.all(children.map((child) => ask(child, { open: rack })))
      const wrong: string[] = []
      const winners = children.filter((_, i) => said[i]?.result === 'opened')
      for (const one of said)
        if (one.result === 'refused' && one.code !== 'rack/locked') wrong.push(`${one.code}: ${one.message}`)
      // whoever was refused is told who has it; all of them run on this computer
      const names = said.flatMap((one) => (one.result === 'refused' ? [one.message] : []))
      for (const message of names)
        if (!message.includes('on this computer')) wrong.push(`no holder is named: ${message}`)
      for (const child of winners) await ask(child, { close: true })
      if (existsSync(join(rack, 'lock'))) wrong.push('the lock is still there after everybody has closed')
      wrong.push(...leftovers(rack, join(rack, 'no home')).map((name) => `left behind ${name}`))
      return { winners: winners.length, wrong }
    },
    end: () => {
      for (const child of children) child.disconnect()
    },
  }
}

const heard = (child: ChildProcess): Promise<Said> =>
  new Promise((resolve, reject) => {
    const gone = () => reject(new Error('One of the contenders has ended.'))
    child.once('exit', gone)
    child.once('message', (said) => {
      child.off('exit', gone)
      resolve(said as Said)
    })
  })

function ask(child: ChildProcess, told: Told): Promise<Said> {
  const said = heard(child)
  child.send(told)
  return said
}
