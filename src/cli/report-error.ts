import { SprayoutError } from '../core/errors.ts';
import { fileError } from '../node/file-error.ts';

/** The JSON document of a refusal. */
export function errorDocument(error: SprayoutError): {
  error: { code: string; message: string; hint: string };
} {
  return { error: { code: error.code, message: error.message, hint: error.hint } };
}

/** A refusal in words: what is wrong, and on the next line what to do. */
export function errorWords(error: SprayoutError): string {
  return `sprayout: ${error.message}\n${error.hint}`;
}

/** Any thrown thing as a refusal: a failed file access by its cause, all else as a defect of the tool's own. */
export function asSprayoutError(thrown: unknown): SprayoutError {
  if (thrown instanceof SprayoutError) return thrown;
  const fromFile = fileError(thrown);
  if (fromFile) return fromFile;
  const what = thrown instanceof Error ? thrown.message : String(thrown);
  return new SprayoutError(
    'internal',
    `something happened that sprayout did not foresee: ${what.split('\n')[0]}`,
    'This is a fault of sprayout, not yours. Please report it with the file and the command that led to it.',
  );
}
