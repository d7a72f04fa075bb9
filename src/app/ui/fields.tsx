/** Fields commit when they are left or Enter is pressed, so that one visit is one edit to undo. */
import { type ReactNode, useEffect, useRef, useState } from 'react';
import {
  Button as AriaButton,
  Checkbox as AriaCheckbox,
  NumberField as AriaNumberField,
  Select as AriaSelect,
  TextField as AriaTextField,
  FieldError,
  Group,
  Input,
  Label,
  ListBox,
  ListBoxItem,
  Popover,
  SelectValue,
  Text,
  TextArea,
} from 'react-aria-components';
import { DownIcon, TickIcon } from './icons.tsx';

interface FieldProps {
  readonly label: string;
  /** One line of help under the field. */
  readonly help?: string | undefined;
  /** What is wrong with the value, and how to put it right. */
  readonly error?: string | undefined;
  readonly isDisabled?: boolean;
}

function Below({ help, error }: Pick<FieldProps, 'help' | 'error'>) {
  return (
    <>
      {help && (
        <Text slot="description" className="field-help">
          {help}
        </Text>
      )}
      {error && <FieldError className="field-error">{error}</FieldError>}
    </>
  );
}

export interface TextFieldProps extends FieldProps {
  readonly value: string;
  readonly onCommit: (value: string) => void;
  readonly isLong?: boolean;
  readonly maxLength?: number;
  /** Has the focus as soon as it is there: it was asked for. */
  readonly isAskedFor?: boolean;
}

export function TextField({
  label,
  help,
  error,
  isDisabled = false,
  value,
  onCommit,
  isLong = false,
  maxLength = 300,
  isAskedFor = false,
}: TextFieldProps) {
  const [typed, setTyped] = useState(value);
  useEffect(() => setTyped(value), [value]);
  const commit = (): void => {
    if (typed !== value) onCommit(typed);
  };
  return (
    <AriaTextField
      className="field"
      value={typed}
      onChange={setTyped}
      onBlur={commit}
      onKeyDown={(event) => {
        if (event.key === 'Enter' && !isLong) commit();
        if (event.key === 'Escape') setTyped(value);
      }}
      isInvalid={error !== undefined}
      isDisabled={isDisabled}
      maxLength={maxLength}
      autoFocus={isAskedFor}
    >
      <Label className="field-label">{label}</Label>
      {isLong ? <TextArea className="field-box" /> : <Input className="field-box" />}
      <Below help={help} error={error} />
    </AriaTextField>
  );
}

export interface NumberFieldProps extends FieldProps {
  /** undefined is an empty field. */
  readonly value: number | undefined;
  readonly onCommit: (value: number | undefined) => void;
  readonly min?: number;
  readonly max?: number;
  readonly step?: number;
  /** Where + and − begin in an empty field; the value nearest 0 when left out. */
  readonly from?: number;
  /** Shown after the number: ml, %. */
  readonly unit?: string;
  readonly digits?: number;
}

/** A number in the locale's format, with buttons for gloved hands. */
export function NumberField({
  label,
  help,
  error,
  isDisabled = false,
  value,
  onCommit,
  min,
  max,
  step,
  from = Math.min(max ?? 0, Math.max(min ?? 0, 0)),
  unit,
  digits = 2,
}: NumberFieldProps) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <AriaNumberField
      className="field"
      value={value ?? Number.NaN}
      onChange={(next) => {
        // a step out of an empty field: it would begin at the far end
        const isStepped = !/\p{Nd}/u.test(input.current?.value ?? '');
        const known = Number.isNaN(next) ? undefined : isStepped ? from : next;
        if (known !== value) onCommit(known);
      }}
      isInvalid={error !== undefined}
      isDisabled={isDisabled}
      formatOptions={{ maximumFractionDigits: digits }}
      {...(min !== undefined && { minValue: min })}
      {...(max !== undefined && { maxValue: max })}
      {...(step !== undefined && { step })}
    >
      <Label className="field-label">{label}</Label>
      <Group className="field-number">
        <Input ref={input} />
        {unit && <span className="field-unit">{unit}</span>}
        <AriaButton slot="decrement">−</AriaButton>
        <AriaButton slot="increment">+</AriaButton>
      </Group>
      <Below help={help} error={error} />
    </AriaNumberField>
  );
}

export interface Choice {
  readonly id: string;
  readonly words: string;
}

export interface SelectProps extends FieldProps {
  readonly value: string | undefined;
  readonly choices: readonly Choice[];
  readonly onCommit: (id: string) => void;
  readonly placeholder?: string;
}

export function Select({
  label,
  help,
  error,
  isDisabled = false,
  value,
  choices,
  onCommit,
  placeholder = 'Choose…',
}: SelectProps) {
  return (
    <AriaSelect
      className="field"
      selectedKey={value ?? null}
      onSelectionChange={(key) => {
        if (key !== null && key !== value) onCommit(String(key));
      }}
      placeholder={placeholder}
      isInvalid={error !== undefined}
      isDisabled={isDisabled}
    >
      <Label className="field-label">{label}</Label>
      <AriaButton className="field-box select-button">
        <SelectValue />
        <DownIcon size={20} />
      </AriaButton>
      <Below help={help} error={error} />
      <Popover className="popover" offset={6} containerPadding={12}>
        <ListBox className="menu" items={choices}>
          {({ id, words }) => (
            <ListBoxItem id={id} className="menu-item" textValue={words}>
              {words}
            </ListBoxItem>
          )}
        </ListBox>
      </Popover>
    </AriaSelect>
  );
}

export interface CheckboxProps {
  readonly children: ReactNode;
  readonly isSelected: boolean;
  readonly onChange: (isSelected: boolean) => void;
  readonly isDisabled?: boolean;
}

export function Checkbox({ children, isDisabled = false, ...rest }: CheckboxProps) {
  return (
    <AriaCheckbox {...rest} isDisabled={isDisabled} className="check">
      {({ isSelected }) => (
        <>
          <span className="check-box">{isSelected && <TickIcon size={20} />}</span>
          <span>{children}</span>
        </>
      )}
    </AriaCheckbox>
  );
}
