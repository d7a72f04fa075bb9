import type { ReactNode } from 'react';

export interface ScreenProps {
  /** The one sentence that answers the screen's question. */
  readonly sentence: ReactNode;
  /** What stands behind it, in a line. */
  readonly detail?: ReactNode;
  /** The large thing: photo, swatches, plot. */
  readonly children: ReactNode;
  /** Figures and lists; beside the large thing where there is room. */
  readonly aside?: ReactNode;
  /** The one primary next step, and perhaps a quiet one beside it. */
  readonly next?: ReactNode;
}

export function Screen({ sentence, detail, children, aside, next }: ScreenProps) {
  return (
    <div className="screen">
      <header className="screen-head">
        <h1>{sentence}</h1>
        {detail && <p>{detail}</p>}
      </header>
      <div className={aside ? 'screen-body screen-body-two' : 'screen-body'}>
        <div className="screen-main">{children}</div>
        {aside && <div className="screen-aside">{aside}</div>}
      </div>
      {next && <div className="screen-next">{next}</div>}
    </div>
  );
}
