import { XMLParser, XMLValidator } from 'fast-xml-parser';
import { z } from 'zod';
import type { Spectrum } from '../../color/index.ts';
import { SprayoutError } from '../../errors.ts';
import { numberIn } from './columns.ts';
import { type InstrumentReading, readingsError } from './readings.ts';
import { illuminantIn, observerIn, whiteName } from './stated-white.ts';
import { inUnits } from './table.ts';

/* Elements as the parser leaves them: children by local name, attributes behind @, text beside attributes in #. */
const text = z.union([z.string(), z.object({ '#': z.string() }).transform((o) => o['#'])]);
const list = <T extends z.ZodType>(item: T) => z.array(item).default([]);
const attribute = z.string().optional();

const spectrumElement = z.object({
  '#': z.string().default(''),
  '@ColorSpecification': attribute,
  '@StartWL': attribute,
  '@Increment': attribute,
});
const labElement = z.object({ L: text, A: text, B: text, '@ColorSpecification': attribute });
const xyzElement = z.object({ X: text, Y: text, Z: text, '@ColorSpecification': attribute });
const objectElement = z.object({
  '@Id': attribute,
  '@Name': attribute,
  ColorValues: list(
    z.object({
      ReflectanceSpectrum: list(spectrumElement),
      ColorCIELab: list(labElement),
      ColorCIEXYZ: list(xyzElement),
    }),
  ),
});
const specificationElement = z.object({
  '@Id': attribute,
  TristimulusSpec: z.object({ Illuminant: text.optional(), Observer: text.optional() }).optional(),
  MeasurementSpec: z
    .object({ WavelengthRange: z.object({ '@StartWL': attribute, '@Increment': attribute }).optional() })
    .optional(),
});
const documentElement = z.object({
  CxF: z.object({
    Resources: z.object({
      ObjectCollection: list(z.object({ Object: list(objectElement) })),
      ColorSpecificationCollection: list(z.object({ ColorSpecification: list(specificationElement) })),
    }),
  }),
});

type ObjectElement = z.infer<typeof objectElement>;
type Specifications = ReadonlyMap<string, z.infer<typeof specificationElement>>;

const LISTS: ReadonlySet<string> = new Set([
  'ObjectCollection',
  'Object',
  'ColorValues',
  'ReflectanceSpectrum',
  'ColorCIELab',
  'ColorCIEXYZ',
  'ColorSpecificationCollection',
  'ColorSpecification',
]);

/** What to do about a file that can't be read. */
const HINT = 'Export the readings as CxF3 again, or as CGATS text or CSV.';

/** Readings in CxF3 (ISO 17972-1). Entities and document types are refused. Throws `readings-invalid`. */
export function readCxf(source: string, fileName: string, otherwise: string): readonly InstrumentReading[] {
  const { CxF } = parseDocument(source, fileName);
  const specifications: Specifications = new Map(
    CxF.Resources.ColorSpecificationCollection.flatMap((c) => c.ColorSpecification).map((s) => [
      s['@Id'] ?? '',
      s,
    ]),
  );
  const readings = CxF.Resources.ObjectCollection.flatMap((c) => c.Object)
    .filter((o) => o.ColorValues.length > 0)
    .map((o) => readingOf(o, specifications, fileName, otherwise));
  // reflectances should run to 1; some programs write per cent
  return inUnits(readings);
}

function parseDocument(source: string, fileName: string): z.infer<typeof documentElement> {
  if (/<!DOCTYPE|<!ENTITY/i.test(source))
    throw readingsError(fileName, 'it declares a document type, which CxF files never do', HINT);
  let parsed: unknown;
  try {
    const valid = XMLValidator.validate(source);
    if (valid !== true)
      throw readingsError(
        fileName,
        `line ${valid.err.line} is no well-formed XML: ${valid.err.msg.replace(/\.$/, '')}`,
        HINT,
      );
    parsed = new XMLParser({
      ignoreAttributes: false,
      attributeNamePrefix: '@',
      textNodeName: '#',
      removeNSPrefix: true,
      processEntities: false,
      parseTagValue: false,
      parseAttributeValue: false,
      isArray: (name, _path, _isLeaf, isAttribute) => !isAttribute && LISTS.has(name),
    }).parse(source);
  } catch (error) {
    if (error instanceof SprayoutError) throw error;
    throw readingsError(fileName, 'it is no readable XML', HINT);
  }
  const document = documentElement.safeParse(parsed);
  if (document.success) return document.data;
  const at = document.error.issues[0].path.join('.');
  throw readingsError(fileName, `it is no CxF3 document${at ? ` (at ${at})` : ''}`, HINT);
}

function readingOf(
  object: ObjectElement,
  specifications: Specifications,
  fileName: string,
  otherwise: string,
): InstrumentReading {
  const names = [object['@Name'], object['@Id']].flatMap((n) => (n === undefined ? [] : [plainText(n)]));
  const where = `object ${JSON.stringify(names[0] ?? '')}`;
  const spectrumOf = object.ColorValues.flatMap((v) => v.ReflectanceSpectrum).at(0);
  const labOf = object.ColorValues.flatMap((v) => v.ColorCIELab).at(0);
  const xyzOf = object.ColorValues.flatMap((v) => v.ColorCIEXYZ).at(0);
  const spectrum = spectrumOf && readSpectrum(spectrumOf, specifications, where, fileName);
  const triple = (texts: readonly [string, string, string], what: string): [number, number, number] => {
    const values = texts.map(numberIn) as [number, number, number];
    if (values.some(Number.isNaN)) throw readingsError(fileName, `${where}: ${what} is not a number`, HINT);
    return values;
  };
  const lab = labOf && triple([labOf.L, labOf.A, labOf.B], 'L*, a* or b*');
  const xyz = xyzOf && triple([xyzOf.X, xyzOf.Y, xyzOf.Z], 'X, Y or Z');
  const tristimulus = specifications.get((labOf ?? xyzOf)?.['@ColorSpecification'] ?? '')?.TristimulusSpec;
  const illuminant = illuminantIn(tristimulus?.Illuminant ?? '');
  const observer = observerIn(tristimulus?.Observer ?? '');
  return {
    where,
    names,
    ...(spectrum ? { spectrum } : {}),
    ...(lab ? { lab } : {}),
    ...(xyz ? { xyz: [xyz[0] / 100, xyz[1] / 100, xyz[2] / 100] as const } : {}),
    white: whiteName({ ...(illuminant ? { illuminant } : {}), ...(observer ? { observer } : {}) }, otherwise),
  };
}

/** Start and step stand at the spectrum itself, or in the colour specification that it names. */
function readSpectrum(
  element: z.infer<typeof spectrumElement>,
  specifications: Specifications,
  where: string,
  fileName: string,
): Spectrum {
  const range = specifications.get(element['@ColorSpecification'] ?? '')?.MeasurementSpec?.WavelengthRange;
  const start_nm = numberIn(element['@StartWL'] ?? range?.['@StartWL']);
  const step_nm = numberIn(element['@Increment'] ?? range?.['@Increment'] ?? '10');
  const values = element['#'].split(/\s+/).filter(Boolean).map(numberIn);
  if (Number.isNaN(start_nm) || !(step_nm > 0))
    throw readingsError(
      fileName,
      `${where}: its spectrum states no first wavelength (StartWL) or step (Increment)`,
      HINT,
    );
  if (values.length === 0 || values.some(Number.isNaN))
    throw readingsError(fileName, `${where}: a reflectance is not a number`, HINT);
  return { start_nm, step_nm, values };
}

const NAMED: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };

/** The five named characters of XML, which the parser leaves alone with entities off. */
function plainText(value: string): string {
  return value.replace(/&(amp|lt|gt|quot|apos);/g, (_, name: string) => NAMED[name]);
}
