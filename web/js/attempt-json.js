// @ts-check
// The attempt document that is handed in.
import { markObject } from './mark.js';
import { thin, round3 } from './stroke.js';

/** @typedef {import('./stroke.js').Stroke} Stroke */
/** @typedef {import('./stroke.js').Pointer} Pointer */
/** @typedef {import('./mark.js').Mark} Mark */

/** The server takes 2 MiB; the rest is for what a proxy may add. */
export const MAX_BYTES = 2_000_000;

/** @type {readonly Pointer[]} */
const FREE_HAND = ['pen', 'touch', 'mouse'];

/**
 * The kind of most strokes or, where there are none, of most marks. Among
 * equals a free-hand kind goes first, for the others are told stroke by stroke.
 * @param {readonly {pointer: Pointer}[]} strokes
 * @param {readonly Mark[]} [marks]
 * @returns {Pointer}
 */
export function pointerOf(strokes, marks = []) {
  if (strokes.length === 0 && marks.length > 0) return pointerOf(marks);
  /** @type {Pointer} */
  let best = 'mouse';
  let most = 0;
  for (const kind of /** @type {Pointer[]} */ ([...FREE_HAND, 'ruler', 'twotap', 'keyboard'])) {
    const n = strokes.filter((s) => s.pointer === kind).length;
    if (n > most) [best, most] = [kind, n];
  }
  return best;
}

/**
 * Writes the attempt as JSON. Should it come out larger than the server
 * takes, the longest strokes are thinned, and only as far as it needs.
 * @param {{attempt: string, exercise: string, startedAt: number, pxPerMM: number, strokes: readonly Stroke[], marks?: readonly Mark[]}} a
 * @param {number} [limit] bytes
 */
export function attemptJSON(a, limit = MAX_BYTES) {
  for (let most = 4096; ; most = Math.floor(most / 2)) {
    const text = JSON.stringify({
      version: 1,
      attempt: a.attempt,
      exercise: a.exercise,
      started_at: new Date(a.startedAt).toISOString(),
      input: { pointer: pointerOf(a.strokes, a.marks), px_per_mm: Math.max(0.001, round(a.pxPerMM)) },
      strokes: a.strokes.map((s) => strokeObject(s, most)),
      marks: a.marks?.length ? a.marks.map(markObject) : undefined,
    });
    if (text.length <= limit || most <= 2) return text; // all of it is ASCII
  }
}

/** @param {number} v */
const round = (v) => Math.round(v * 1000) / 1000;

/**
 * @param {Stroke} s
 * @param {number} most samples
 */
function strokeObject(s, most) {
  let c = s;
  let n = s.x.length;
  if (n > most) {
    c = { ...s, x: s.x.slice(), y: s.y.slice(), t: s.t.slice(), p: s.p && s.p.slice() };
    n = thin(c, n, most);
  }
  /** @param {Float64Array} v */
  const column = (v) => Array.from(v.subarray(0, n));
  /** @type {Record<string, unknown>} */
  const o = { role: s.role, x: column(c.x), y: column(c.y), t: column(c.t) };
  if (c.p) o.p = column(c.p).map(round3);
  if (!FREE_HAND.includes(s.pointer)) o.by = s.pointer;
  return o;
}
