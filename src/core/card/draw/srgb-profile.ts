/**
 * An ICC profile of sRGB (IEC 61966-2-1) for the PDF's colours: version 2.1, matrix and transfer curve after
 * ICC.1:2001-04, primaries adapted to D50 by Bradford.
 */

const CURVE_POINTS = 1024;

const ascii = (text: string): number[] => Array.from(text, (c) => c.charCodeAt(0));
const u16 = (v: number): number[] => [(v >> 8) & 255, v & 255];
const u32 = (v: number): number[] => [(v >>> 24) & 255, (v >>> 16) & 255, (v >>> 8) & 255, v & 255];
const s15Fixed16 = (v: number): number[] => u32(Math.round(v * 65536));

function xyzTag(x: number, y: number, z: number): number[] {
  return [...ascii('XYZ '), ...u32(0), ...s15Fixed16(x), ...s15Fixed16(y), ...s15Fixed16(z)];
}

function textTag(text: string): number[] {
  return [...ascii('text'), ...u32(0), ...ascii(text), 0];
}

function descriptionTag(text: string): number[] {
  const unicodeAndScriptCode = Array.from({ length: 4 + 4 + 2 + 1 + 67 }, () => 0);
  return [...ascii('desc'), ...u32(0), ...u32(text.length + 1), ...ascii(text), 0, ...unicodeAndScriptCode];
}

function curveTag(): number[] {
  const points = Array.from({ length: CURVE_POINTS }, (_, i) => {
    const v = i / (CURVE_POINTS - 1);
    const linear = v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
    return u16(Math.round(linear * 65535));
  });
  return [...ascii('curv'), ...u32(0), ...u32(CURVE_POINTS), ...points.flat()];
}

const HEADER_BYTES = 128;

/** The profile's bytes. */
export function srgbProfileBytes(): Uint8Array {
  const curve = curveTag();
  const data: readonly (readonly [string, number[]])[] = [
    ['desc', descriptionTag('sRGB IEC61966-2-1')],
    ['cprt', textTag('No copyright, use freely')],
    ['wtpt', xyzTag(0.9642, 1, 0.8249)],
    ['rXYZ', xyzTag(0.4360747, 0.2225045, 0.0139322)],
    ['gXYZ', xyzTag(0.3850649, 0.7168786, 0.0971045)],
    ['bXYZ', xyzTag(0.1430804, 0.0606169, 0.7141733)],
    ['rTRC', curve],
  ];
  const table: number[] = [];
  const body: number[] = [];
  const start = HEADER_BYTES + 4 + 12 * (data.length + 2);
  for (const [name, bytes] of data) {
    const entry = [...u32(start + body.length), ...u32(bytes.length)];
    // the three channels share one curve
    for (const each of name === 'rTRC' ? ['rTRC', 'gTRC', 'bTRC'] : [name])
      table.push(...ascii(each), ...entry);
    body.push(...bytes);
    while (body.length % 4 !== 0) body.push(0);
  }
  return Uint8Array.from([...header(start + body.length), ...u32(data.length + 2), ...table, ...body]);
}

function header(size: number): number[] {
  const created = [2026, 1, 1, 0, 0, 0].flatMap(u16);
  const fields = [
    ...u32(size),
    ...u32(0),
    ...u32(0x02100000),
    ...ascii('mntrRGB XYZ '),
    ...created,
    ...ascii('acsp'),
    ...Array.from({ length: 28 }, () => 0),
    ...s15Fixed16(0.9642),
    ...s15Fixed16(1),
    ...s15Fixed16(0.8249),
  ];
  return [...fields, ...Array.from({ length: HEADER_BYTES - fields.length }, () => 0)];
}
