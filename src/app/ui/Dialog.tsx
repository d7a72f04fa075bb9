import type { ReactNode } from 'react';
import { Dialog as AriaDialog, Heading, Modal, ModalOverlay } from 'react-aria-components';

export interface DialogProps {
  readonly title: string;
  readonly isOpen: boolean;
  readonly onClose: () => void;
  readonly children: ReactNode;
  /** Buttons, the one that goes on last. */
  readonly actions?: ReactNode;
}

/** A question or form that comes before anything else. Escape and a press outside close it. */
export function Dialog({ title, isOpen, onClose, children, actions }: DialogProps) {
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
          <Heading slot="title" level={2}>
            {title}
          </Heading>
          {children}
          {actions && <div className="dialog-actions">{actions}</div>}
        </AriaDialog>
      </Modal>
    </ModalOverlay>
  );
}
