import { useEffect, useRef, useState } from 'react';
import { AddIcon, Button, TextField } from '../ui/index.ts';

interface AddNameProps {
  /** `ground` or `tint`. */
  readonly word: string;
  /** Open at once where there is none yet. */
  readonly isOpen: boolean;
  readonly onAdd: (name: string) => void;
}

/** A new tint or ground by its name. */
export function AddName({ word, isOpen, onAdd }: AddNameProps) {
  const [isAsked, setAsked] = useState(false);
  /** Enter commits, and so does leaving the field that then goes. */
  const isDone = useRef(false);
  const isShown = isOpen || isAsked;
  useEffect(() => {
    // also when undo brings the field back
    if (isShown) isDone.current = false;
  }, [isShown]);
  if (!isShown)
    return (
      <div>
        <Button kind="quiet" icon={<AddIcon />} onPress={() => setAsked(true)}>
          Another {word}
        </Button>
      </div>
    );
  return (
    <TextField
      label={isOpen ? `Which ${word} is it?` : `Name of the ${word}`}
      value=""
      isAskedFor={isAsked}
      help="Type its name and press Enter."
      onCommit={(name) => {
        if (name.trim() && !isDone.current) {
          isDone.current = true;
          onAdd(name.trim());
        }
        setAsked(false);
      }}
    />
  );
}
