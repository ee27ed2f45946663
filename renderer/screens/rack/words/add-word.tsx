import { Button, Header, Menu, MenuItem, MenuSection, MenuTrigger, Popover } from 'react-aria-components'
import type { PanelFilter } from '../../../../shared-core/records/panel.ts'
import { useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { wordsToAdd } from './filter-words.ts'

const none = { grounds: [], candies: [], tags: [] }

/** The menu of everything that the panels can be narrowed by. */
export function AddWord({ filter }: { filter: PanelFilter }) {
  const setView = useStore((s) => s.setView)
  const { value } = useAnswer('panels.listWords', {})
  const groups = wordsToAdd(filter, value ?? none)
  const offered = new Map(groups.flatMap((group) => group.words.map((word) => [word.key, word.with] as const)))
  return (
    <MenuTrigger>
      <Button className="word rack-add">
        <span>add a word</span>
      </Button>
      <Popover className="rack-menu scroll" placement="bottom start" offset={4}>
        <Menu
          className="rack-menu-list"
          aria-label="Words to add"
          onAction={(key) => {
            const next = offered.get(String(key))
            if (next) setView({ filter: next })
          }}
        >
          {groups.map((group) => (
            <MenuSection key={group.name} className="rack-menu-group">
              <Header className="fine">{group.name}</Header>
              {group.words.map((word) => (
                <MenuItem key={word.key} id={word.key} className="rack-menu-item" textValue={word.text}>
                  {word.text}
                </MenuItem>
              ))}
            </MenuSection>
          ))}
        </Menu>
      </Popover>
    </MenuTrigger>
  )
}
