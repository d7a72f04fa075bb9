import { type ReactNode, useEffect, useRef } from 'react';
import { Dialog as AriaDialog, Heading, Modal, ModalOverlay } from 'react-aria-components';

export interface DialogProps {
  readonly title: string;
  /** Which thing it is about: it begins anew at its heading when another one takes its place. */
  readonly about?: string;
  readonly isOpen: boolean;
  readonly onClose: () => void;
  readonly children: ReactNode;
  /** Buttons, the one that goes on last. */
  readonly actions?: ReactNode;
}

/** A question or form that comes before anything else. Escape and a press outside close it. */
export function Dialog({ title, about, isOpen, onClose, children, actions }: DialogProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  const before = useRef(about);
  useEffect(() => {
    if (before.current === about) return;
    before.current = about;
    heading.current?.focus({ preventScroll: true });
    heading.current?.closest('.dialog')?.scrollTo({ top: 0 });
  }, [about]);
  return (
    <ModalOverlay
      className="dialog-shade"
      isOpen={isOpen}
      isDismissable
      onOpenChange={(open) => {
        if (!open) onClose();
      }}
    >
      <Modal className="dialog">
        <AriaDialog>
          <Heading slot="title" level={2} ref={heading} tabIndex={-1}>
            {title}
          </Heading>
          {children}
          {actions && <div className="dialog-actions">{actions}</div>}
        </AriaDialog>
      </Modal>
    </ModalOverlay>
  );
}
