const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

/** Base64 of bytes (RFC 4648, 4). */
export function base64(bytes: Uint8Array): string {
  const parts: string[] = [];
  for (let start = 0; start < bytes.length; start += 3 * 4096) {
    let part = '';
    for (let i = start; i < Math.min(bytes.length, start + 3 * 4096); i += 3) {
      const n = (bytes[i] << 16) | ((bytes[i + 1] ?? 0) << 8) | (bytes[i + 2] ?? 0);
      part += ALPHABET[n >> 18] + ALPHABET[(n >> 12) & 63];
      part += i + 1 < bytes.length ? ALPHABET[(n >> 6) & 63] : '=';
      part += i + 2 < bytes.length ? ALPHABET[n & 63] : '=';
    }
    parts.push(part);
  }
  return parts.join('');
}
