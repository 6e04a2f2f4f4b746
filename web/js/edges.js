// @ts-check
// The edges that a sheet shows, as things to point at: where each is printed,
// which one lies nearest to a tap, and how it is called by its place.

/** @typedef {{x: number, y: number}} Place */
/** @typedef {{id: string, set: string, a: Place, b: Place}} Edge */

/** Within so many degrees of level or upright an edge is called so. */
const ABOUT = 8;

/**
 * The given edges in reading order: by rows from the top, in each from the
 * left.
 * @param {any} exercise the document in the page; what is withheld is null there
 * @returns {Edge[]}
 */
export function shownEdges(exercise) {
  /** @type {Edge[]} */
  const all = [];
  for (const e of exercise.edges ?? []) {
    const s = e.given ? printed(exercise, e) : null;
    if (s) all.push({ id: e.id, set: e.set, a: { x: s[0][0], y: s[0][1] }, b: { x: s[1][0], y: s[1][1] } });
  }
  const row = (/** @type {Edge} */ e) => third(mid(e).y, span(all, 'y'));
  return all.sort((e, f) => row(e) - row(f) || mid(e).x - mid(f).x);
}

/**
 * Where an edge is printed; null when an end is withheld.
 * @param {any} exercise
 * @param {any} e
 * @returns {[number, number][] | null}
 */
export function printed(exercise, e) {
  const s = e.drawn ?? e.corners?.map((/** @type {number} */ i) => exercise.corners?.[i]);
  return s && s[0] && s[1] ? s : null;
}

/** @param {Edge} e @returns {Place} */
const mid = (e) => ({ x: (e.a.x + e.b.x) / 2, y: (e.a.y + e.b.y) / 2 });

/** From the least to the greatest middle. @param {Edge[]} all @param {'x' | 'y'} k @returns {[number, number]} */
const span = (all, k) => [Math.min(...all.map((e) => mid(e)[k])), Math.max(...all.map((e) => mid(e)[k]))];

/** @param {number} v @param {[number, number]} span @returns {0 | 1 | 2} */
function third(v, [low, high]) {
  const part = high > low ? (v - low) / (high - low) : 0.5;
  return part < 1 / 3 ? 0 : part > 2 / 3 ? 2 : 1;
}

/** @param {Place} p @param {Edge} e */
export function distance(p, { a, b }) {
  const dx = b.x - a.x, dy = b.y - a.y;
  const l2 = dx * dx + dy * dy;
  const s = l2 > 0 ? Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / l2)) : 0;
  return Math.hypot(p.x - a.x - s * dx, p.y - a.y - s * dy);
}

/**
 * The edge nearest to a place, if one lies within so many millimetres.
 * @param {Place} p
 * @param {Edge[]} all
 * @param {number} within
 */
export function nearest(p, all, within) {
  /** @type {Edge | null} */
  let best = null;
  for (const e of all) {
    const d = distance(p, e);
    if (d <= within) [best, within] = [e, d];
  }
  return best;
}

/** The name of an edge: "edge 5 of 12, upper left, level".
 * @param {Edge[]} all @param {number} i */
export function edgeWords(all, i) {
  const e = all[i];
  const across = ['left', 'middle', 'right'][third(mid(e).x, span(all, 'x'))];
  const down = ['upper', 'middle', 'lower'][third(mid(e).y, span(all, 'y'))];
  const place = across === down ? 'middle' : `${down} ${across}`;
  return `edge ${i + 1} of ${all.length}, ${place}, ${lie(e)}`;
}

/** @param {Edge} e */
function lie({ a, b }) {
  const [l, r] = a.x <= b.x ? [a, b] : [b, a];
  const angle = (Math.atan2(r.y - l.y, r.x - l.x) * 180) / Math.PI;
  if (Math.abs(angle) <= ABOUT) return 'level';
  if (Math.abs(angle) >= 90 - ABOUT) return 'upright';
  return angle > 0 ? 'falling to the right' : 'rising to the right';
}
