import { client } from '../client/client.ts'
import { refreshRack } from './asking.ts'
import { keepWall } from './keep-wall.ts'
import { keepView } from './kept-view.ts'
import { followHistory } from './router.ts'
import { useStore } from './store.ts'

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
      case 'settings.changed':
        void refreshSettings()
        return
      case 'service.restarted':
        store.warn({
          message: 'Overground’s service stopped and was started again. Everything that was saved is safe.',
          remedy: event.data.rackReopened
            ? 'Look whether your last step is there; if not, do it again.'
            : 'Open your rack again.',
        })
        store.forgetFailures()
        void refreshRack()
        void refreshJobs()
    }
  })
  await refreshSettings()
  await refreshRack()
  await refreshJobs()
}

async function refreshSettings(): Promise<void> {
  const answer = await client().call('settings.get', {})
  if (answer.ok) useStore.getState().setSettings(answer.value.settings)
}

async function refreshJobs(): Promise<void> {
  const answer = await client().call('jobs.list', {})
  if (answer.ok) for (const job of answer.value.jobs) useStore.getState().setJob(job)
}
