import type { ReactNode } from 'react';
import { Tabs as AriaTabs, Tab, TabList, TabPanel } from 'react-aria-components';

export interface TabEntry {
  readonly id: string;
  readonly words: string;
  readonly content: ReactNode;
}

export interface TabsProps {
  readonly label: string;
  readonly tabs: readonly TabEntry[];
  readonly chosen?: string;
  readonly onChoose?: (id: string) => void;
}

export function Tabs({ label, tabs, chosen, onChoose }: TabsProps) {
  return (
    <AriaTabs
      className="tabs"
      {...(chosen !== undefined && { selectedKey: chosen })}
      onSelectionChange={(key) => onChoose?.(String(key))}
    >
      <TabList aria-label={label} className="tab-list">
        {tabs.map(({ id, words }) => (
          <Tab key={id} id={id} className="tab">
            {words}
          </Tab>
        ))}
      </TabList>
      {tabs.map(({ id, content }) => (
        <TabPanel key={id} id={id}>
          {content}
        </TabPanel>
      ))}
    </AriaTabs>
  );
}
