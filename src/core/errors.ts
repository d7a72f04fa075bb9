/** Every way the tool can refuse its input, by code. Codes are stable: scripts read them. */
export type ErrorCode =
  // the call or an input file is wrong (exit 2)
  | 'usage'
  | 'file-not-found'
  | 'file-unreadable'
  | 'file-too-large'
  | 'file-empty'
  | 'image-unsupported'
  | 'image-broken'
  | 'image-too-large'
  | 'image-animated'
  | 'image-colour-model'
  | 'json-broken'
  | 'card-invalid'
  | 'corners-invalid'
  | 'panels-invalid'
  | 'panel-outside-photo'
  | 'panel-on-card'
  | 'job-invalid'
  | 'job-path-outside'
  | 'bundle-invalid'
  | 'bundle-newer'
  | 'bundle-damaged'
  | 'readings-invalid'
  | 'mix-invalid'
  | 'output-unwritable'
  // a fault of the tool itself (exit 2)
  | 'internal'
  // the photo can't be measured (exit 3)
  | 'card-not-found'
  | 'card-too-small'
  | 'card-blurred'
  | 'card-mirrored'
  | 'card-partly-outside'
  | 'card-clipped'
  | 'card-unreadable'
  | 'no-panels'
  | 'panel-unreadable'
  // the job has too little to answer the question (exit 3)
  | 'not-enough-panels'
  | 'no-target';

const EXIT_THREE: ReadonlySet<ErrorCode> = new Set<ErrorCode>([
  'card-not-found',
  'card-too-small',
  'card-blurred',
  'card-mirrored',
  'card-partly-outside',
  'card-clipped',
  'card-unreadable',
  'no-panels',
  'panel-unreadable',
  'not-enough-panels',
  'no-target',
]);

/** A refusal a user can act on: what is wrong and where (`message`), and what to do (`hint`). */
export class SprayoutError extends Error {
  override readonly name = 'SprayoutError';
  constructor(
    readonly code: ErrorCode,
    message: string,
    readonly hint: string,
  ) {
    super(message);
  }
}

/** Exit status of the command line for an error code: 2 wrong call or file, 3 cannot be measured. */
export function exitCodeOf(code: ErrorCode): 2 | 3 {
  return EXIT_THREE.has(code) ? 3 : 2;
}

/** Something to tell the user that does not stop the work. */
export interface Warning {
  readonly code: string;
  readonly message: string;
}
