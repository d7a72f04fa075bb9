import type { ReadingsFile } from '../../../../shared/schemas/readings.ts';
import { whiteParts } from './table.ts';

const NAMESPACE = 'http://colorexchangeformat.com/CxF3-core';
const SPECIFICATION = 'measured';

/** Characters that XML 1.0 (2.2) cannot hold are left out; the five with a meaning are written as entities. */
function xml(text: string): string {
  return text
    .replace(/\p{Cc}+/gu, ' ')
    .replace(/\p{Cs}|[\ufffe\uffff]/gu, '')
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;')
    .replace(/'/g, '&apos;');
}

/** A date as CxF3 wants it (xs:dateTime), where what was given is one. */
function dateTime(date: string | undefined): string | undefined {
  const [, day] = /^(\d{4}-\d{2}-\d{2})(?:$|T)/.exec(date ?? '') ?? [];
  return day && `${day}T00:00:00`;
}

/** Measured colours as CxF3 (ISO 17972-1): one object a panel with its id as name, CIELAB, and the white it is relative to. */
export function cxfText({ title, date, white, readings }: ReadingsFile): string {
  const { illuminant, observer } = whiteParts(white);
  const created = dateTime(date);
  const creation = created ? `<cc:CreationDate>${created}</cc:CreationDate>` : '';
  const objects = readings.map(
    ({ id, lab: [l, a, b] }, i) =>
      `      <cc:Object ObjectType="Standard" Name="${xml(id)}" Id="r${i + 1}">${creation}
        <cc:ColorValues>
          <cc:ColorCIELab ColorSpecification="${SPECIFICATION}"><cc:L>${l.toFixed(3)}</cc:L><cc:A>${a.toFixed(3)}</cc:A><cc:B>${b.toFixed(3)}</cc:B></cc:ColorCIELab>
        </cc:ColorValues>
      </cc:Object>`,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>
<cc:CxF xmlns:cc="${NAMESPACE}">
  <cc:FileInformation>
    <cc:Creator>sprayout</cc:Creator>${creation}
    <cc:Description>${xml(title || 'Sprayed panels')}</cc:Description>
  </cc:FileInformation>
  <cc:Resources>
    <cc:ObjectCollection>
${objects.join('\n')}
    </cc:ObjectCollection>
    <cc:ColorSpecificationCollection>
      <cc:ColorSpecification Id="${SPECIFICATION}">
        <cc:TristimulusSpec>
          <cc:Illuminant>${xml(illuminant)}</cc:Illuminant>
          <cc:Observer>${xml(observer)}_Degree</cc:Observer>
        </cc:TristimulusSpec>
      </cc:ColorSpecification>
    </cc:ColorSpecificationCollection>
  </cc:Resources>
</cc:CxF>
`;
}
