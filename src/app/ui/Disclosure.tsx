import type { ReactNode } from 'react';
import { Disclosure as AriaDisclosure, Button, DisclosurePanel, Heading } from 'react-aria-components';
import { DownIcon } from './icons.tsx';

export interface DisclosureProps {
  readonly title: ReactNode;
  readonly children: ReactNode;
  readonly startsOpen?: boolean;
}

/** Figures and details behind a sentence. */
export function Disclosure({ title, children, startsOpen = false }: DisclosureProps) {
  return (
    <AriaDisclosure className="disclosure" defaultExpanded={startsOpen}>
      <Heading level={2} className="disclosure-heading">
        <Button slot="trigger" className="disclosure-button">
          {title}
          <DownIcon size={20} />
        </Button>
      </Heading>
      <DisclosurePanel>
        <div className="disclosure-body">{children}</div>
      </DisclosurePanel>
    </AriaDisclosure>
  );
}
