import type { ReactNode } from 'react';
import {
  Menu as AriaMenu,
  Header,
  MenuItem,
  MenuSection,
  MenuTrigger,
  Popover,
  type Selection,
} from 'react-aria-components';

export interface MenuEntry {
  readonly id: string;
  readonly words: string;
  readonly isDisabled?: boolean;
}

export interface MenuGroup {
  /** Said above the entries; needed for a screen reader where entries are choices. */
  readonly heading?: string;
  readonly entries: readonly MenuEntry[];
  /** The entry that holds now, where the entries are a choice of one. */
  readonly chosen?: string;
  readonly onChoose: (id: string) => void;
}

export interface MenuProps {
  /** The button that opens it: a Button or IconButton. */
  readonly trigger: ReactNode;
  readonly label: string;
  readonly groups: readonly MenuGroup[];
}

export function Menu({ trigger, label, groups }: MenuProps) {
  return (
    <MenuTrigger>
      {trigger}
      <Popover className="popover" offset={6} containerPadding={12}>
        <AriaMenu aria-label={label} className="menu">
          {groups.map(({ heading, entries, chosen, onChoose }, i) => {
            const choice =
              chosen === undefined
                ? {}
                : {
                    selectionMode: 'single' as const,
                    disallowEmptySelection: true,
                    selectedKeys: [chosen],
                    onSelectionChange: (keys: Selection) => {
                      const [id] = keys === 'all' ? [] : [...keys];
                      if (id !== undefined) onChoose(String(id));
                    },
                  };
            return (
              <MenuSection key={heading ?? i} aria-label={heading ?? label} {...choice}>
                {heading && <Header className="menu-heading">{heading}</Header>}
                {entries.map(({ id, words, isDisabled }) => (
                  <MenuItem
                    key={id}
                    id={id}
                    className="menu-item"
                    textValue={words}
                    isDisabled={isDisabled ?? false}
                    {...(chosen === undefined && { onAction: () => onChoose(id) })}
                  >
                    {words}
                  </MenuItem>
                ))}
              </MenuSection>
            );
          })}
        </AriaMenu>
      </Popover>
    </MenuTrigger>
  );
}
