import type { Event } from '../../shared-core/contract/calls.ts'
import { client } from '../client/client.ts'
import { refreshRack } from './asking.ts'
import { keepWall } from './keep-wall.ts'
import { keepView } from './kept-view.ts'
import { refreshPhone } from './phone.ts'
import { followHistory } from './router.ts'
import { useStore } from './store.ts'
import { useTrouble } from './trouble.ts'

/** Takes the first state from the service and follows its events. */
export async function startState(): Promise<void> {
  const store = useStore.getState()
  followHistory()
  keepView(useStore)
  keepWall()
  client().onEvent((event) => {
    switch (event.name) {
      case 'job.progressed':
        // what came before this page was opened is asked for
        if (!store.followJob(event.data)) void refreshJobs()
        return
      case 'rack.changed':
      case 'rack.opened':
      case 'rack.closed':
        void refreshRack()
        return
      case 'phone.changed':
        void refreshPhone()
        return
      case 'proposals.made':
        useStore.setState((s) => ({ looked: s.looked + 1 }))
        return
      case 'settings.changed':
        void refreshSettings()
        return
      case 'service.restarted':
        useTrouble.setState({ gaveUp: null })
        store.warn(restartedInWords(event.data), { stays: true })
        store.forgetFailures()
        void refreshSettings()
        void refreshRack()
        void refreshJobs()
        void refreshPhone()
        return
      case 'service.gaveUp':
        useTrouble.setState({ gaveUp: event.data })
    }
  })
  await refreshSettings()
  await refreshRack()
  await refreshJobs()
  await refreshPhone()
}

async function refreshSettings(): Promise<void> {
  const answer = await client().call('settings.get', {})
  if (answer.ok) useStore.getState().setSettings(answer.value.settings)
  // told before this page was there to hear it
  else if (answer.error.code === 'service/stopped') useTrouble.setState({ gaveUp: { why: '', withRack: true } })
}

function restartedInWords({ rackReopened, endedByRack }: EventData<'service.restarted'>) {
  if (endedByRack)
    return {
      message:
        'Opening this rack stopped Overground’s service twice, so the rack was left closed. Nothing in it was changed.',
      remedy: 'Choose another rack, or let this one be checked and put back from a backup.',
    }
  return {
    message: 'Overground’s service stopped and was started again. Everything that was saved is safe.',
    remedy: rackReopened ? 'Look whether your last step is there; if not, do it again.' : 'Open your rack again.',
  }
}
type EventData<N extends Event['name']> = Extract<Event, { name: N }>['data']

async function refreshJobs(): Promise<void> {
  const answer = await client().call('jobs.list', {})
  if (answer.ok) for (const job of answer.value.jobs) useStore.getState().setJob(job)
}
