import { Button, Notice } from '../ui/index.ts';
import type { Adding } from './use-adding.ts';

/** Files that were no photos, each with its reason. */
export function Refused({ adding }: { readonly adding: Adding }) {
  if (adding.refused.length === 0) return null;
  return (
    <Notice kind="problem" actions={<Button onPress={adding.forget}>Understood</Button>}>
      <strong>
        {adding.refused.length === 1
          ? 'One file was not added.'
          : `${adding.refused.length} files were not added.`}
      </strong>
      <ul className="photos-refused">
        {adding.refused.map(({ name, problem }) => (
          <li key={`${name} ${problem.message}`}>
            {problem.message} <span>{problem.hint}</span>
          </li>
        ))}
      </ul>
    </Notice>
  );
}
