import { Component, type ReactNode } from 'react';
import { Button } from '../ui/Button.tsx';
import { Notice } from '../ui/Notice.tsx';

interface Props {
  readonly children: ReactNode;
}

/** A screen that breaks takes nothing else with it. */
export class ErrorBoundary extends Component<Props, { readonly broken: string | undefined }> {
  override state = { broken: undefined };

  static getDerivedStateFromError(error: unknown): { broken: string } {
    return { broken: error instanceof Error ? error.message : String(error) };
  }

  override render(): ReactNode {
    if (this.state.broken === undefined) return this.props.children;
    return (
      <div className="screen">
        <Notice
          problem={{
            code: 'internal',
            message: `This screen broke: ${this.state.broken}`,
            hint: 'Your job is safe: every edit marked as saved is stored. Load the app again, and report what you did.',
          }}
          actions={<Button onPress={() => location.reload()}>Load again</Button>}
        />
      </div>
    );
  }
}
