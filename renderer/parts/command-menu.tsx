import './command-menu.css'
import { Button, Menu, MenuItem, MenuTrigger, Popover, Text } from 'react-aria-components'
import { type Command, whatIsMissing } from '../commands/command.ts'
import { chordInWords } from '../commands/keyboard.ts'
import { useStore } from '../state/store.ts'
import { Chevron } from './icons.tsx'

/** Commands behind one button, for those that are not needed at every turn. */
export function CommandMenu({ label, commands }: { label: string; commands: readonly Command[] }) {
  return (
    <MenuTrigger>
      <Button className="btn">
        {label}
        <Chevron />
      </Button>
      <Popover className="command-menu scroll" placement="bottom end" offset={4}>
        <Menu
          aria-label={label}
          onAction={(key) => {
            const command = commands.find(({ id }) => id === key)
            const state = useStore.getState()
            const missing = command ? whatIsMissing(command, state) : null
            if (missing === null) void command?.run(state)
            else state.say(missing)
          }}
        >
          {commands.map((command) => (
            <Item key={command.id} command={command} />
          ))}
        </Menu>
      </Popover>
    </MenuTrigger>
  )
}

function Item({ command }: { command: Command }) {
  const label = useStore((s) => command.label(s))
  const missing = useStore((s) => whatIsMissing(command, s))
  return (
    <MenuItem id={command.id} className="command-menu-item" textValue={label}>
      <Text slot="label">{label}</Text>
      {missing === null ? null : (
        <Text slot="description" className="fine">
          {missing}
        </Text>
      )}
      {command.shortcut && missing === null ? <kbd>{chordInWords(command.shortcut)}</kbd> : null}
    </MenuItem>
  )
}
