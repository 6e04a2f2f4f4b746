// @ts-check
// Ids of attempts, made on the device.

/**
 * Returns a UUID of version 7 (RFC 9562, section 5.7): 48 bits of time in
 * milliseconds, then random bits. crypto.randomUUID exists in secure contexts
 * only, and a school's server may be reached over plain HTTP; getRandomValues
 * exists in both.
 * @param {number} ms milliseconds since 1970
 * @param {Uint8Array} [random] 16 random bytes; drawn here when left out
 */
export function uuid7(ms, random) {
  const b = random ? random.slice(0, 16) : crypto.getRandomValues(new Uint8Array(16));
  let t = Math.max(0, Math.floor(ms));
  for (let i = 5; i >= 0; i--) {
    b[i] = t % 256;
    t = Math.floor(t / 256);
  }
  b[6] = (b[6] & 0x0f) | 0x70;
  b[8] = (b[8] & 0x3f) | 0x80;
  const hex = Array.from(b, (v) => v.toString(16).padStart(2, '0')).join('');
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-');
}
