import { Label, ProgressBar } from 'react-aria-components';
import { Button } from './Button.tsx';
import { formatPercent } from './format.ts';

export interface ProgressProps {
  readonly words: string;
  /** 0 to 1. */
  readonly fraction: number;
  readonly onCancel?: () => void;
}

export function Progress({ words, fraction, onCancel }: ProgressProps) {
  return (
    <div className="progress">
      <ProgressBar value={100 * fraction} className="progress">
        {({ percentage }) => (
          <>
            <div className="progress-words">
              <Label>{words}</Label>
              <span className="numbers">{formatPercent((percentage ?? 0) / 100)}</span>
            </div>
            <div className="progress-track">
              <div className="progress-done" style={{ width: `${percentage ?? 0}%` }} />
            </div>
          </>
        )}
      </ProgressBar>
      {onCancel && (
        <div>
          <Button kind="quiet" onPress={onCancel}>
            Stop
          </Button>
        </div>
      )}
    </div>
  );
}
