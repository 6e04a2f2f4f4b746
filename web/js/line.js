// @ts-check
// A straight line drawn without dragging: from a start, by direction and
// length. Lines are values. Angles are degrees, 0 to the right, growing
// clockwise as seen on the sheet, in (-180, 180]; lengths are millimetres.
// Nothing here knows where a line ought to run.

/** @typedef {import('./stroke.js').Stroke} Stroke */
/**
 * live: there is a line to keep, not only a start. tapped: its end was
 * pointed at.
 * @typedef {{x: number, y: number, angle: number, length: number, live: boolean, tapped: boolean}} Line
 */
/** @typedef {{x: number, y: number, what: string}} Start */
/** @typedef {'fine' | 'plain' | 'coarse'} Step */

export const TURN = { fine: 0.1, plain: 0.5, coarse: 5 };
export const STRETCH = { fine: 0.1, plain: 1, coarse: 10 };
const SHORTEST = 1;
const LONGEST = 1200; // a line may run to a point far off the sheet
/** Two points nearer to each other than this are one start. */
const SAME = 1;

/** @param {number} a degrees */
function wrapped(a) {
  a %= 360;
  if (a > 180) a -= 360;
  if (a <= -180) a += 360;
  return a;
}

/** @param {number} v to a thousandth, so that steps of 0.1 add up */
const tidy = (v) => Math.round(v * 1000) / 1000;

/** @param {{x: number, y: number}} at @returns {Line} */
export const startedAt = (at) => ({ x: at.x, y: at.y, angle: 0, length: 40, live: false, tapped: false });

/** The line with another start, direction and length as before.
 * @param {Line} l @param {{x: number, y: number}} at @returns {Line} */
export const from = (l, at) => ({ ...l, x: at.x, y: at.y, live: false, tapped: false });

/** @param {Line} l @param {number} degrees clockwise @returns {Line} */
export const turned = (l, degrees) => ({ ...l, angle: tidy(wrapped(l.angle + degrees)), live: true });

/** @param {Line} l @param {number} mm @returns {Line} */
export const stretched = (l, mm) => ({
  ...l, length: tidy(Math.min(LONGEST, Math.max(SHORTEST, l.length + mm))), live: true,
});

/** The line with its start moved and the rest as it is.
 * @param {Line} l @param {number} dx @param {number} dy @returns {Line} */
export const moved = (l, dx, dy) => ({ ...l, x: tidy(l.x + dx), y: tidy(l.y + dy) });

/** The line that ends at a point; too near to the start, it stays as it is.
 * @param {Line} l @param {{x: number, y: number}} at @returns {Line} */
export function endingAt(l, at) {
  const length = Math.hypot(at.x - l.x, at.y - l.y);
  if (length < SHORTEST) return l;
  const angle = wrapped((Math.atan2(at.y - l.y, at.x - l.x) * 180) / Math.PI);
  return { ...l, angle, length, live: true, tapped: true };
}

/** @param {Line} l */
export function end(l) {
  const a = (l.angle * Math.PI) / 180;
  return { x: l.x + l.length * Math.cos(a), y: l.y + l.length * Math.sin(a) };
}

/** What is said of a line: its length and direction, never its error.
 * @param {Line} l */
export function words(l) {
  return `${l.length.toFixed(1)} mm, ${direction(l.angle)}.`;
}

/** @param {number} angle */
function direction(angle) {
  const side = Math.abs(angle) <= 90 ? 'right' : 'left';
  const steep = side === 'right' ? Math.abs(angle) : 180 - Math.abs(angle);
  const shown = steep.toFixed(1);
  if (shown === '0.0') return `level to the ${side}`;
  const way = angle > 0 ? 'down' : 'up';
  if (shown === '90.0') return `straight ${way}`;
  return `${shown}° ${way} to the ${side}`;
}

/** @param {Start} s @param {number} i @param {number} n */
export function startWords(s, i, n) {
  return `Start ${i + 1} of ${n}: ${s.what}, ${place(s)}.`;
}

/** @param {{x: number, y: number}} at */
export const place = (at) => `${at.x.toFixed(1)} mm across, ${at.y.toFixed(1)} mm down`;

/**
 * The points that a line can start from: what is given on the sheet, then the
 * ends of the lines drawn, each point once.
 * @param {any} exercise the document in the page; points that are withheld are null there
 * @param {readonly Stroke[]} strokes
 * @returns {Start[]}
 */
export function starts(exercise, strokes) {
  /** @type {Start[]} */
  const all = [];
  /** @param {number} x @param {number} y @param {string} what */
  const add = (x, y, what) => {
    if (!all.some((s) => Math.hypot(s.x - x, s.y - y) < SAME)) all.push({ x, y, what });
  };
  for (const c of exercise.corners ?? []) if (c) add(c[0], c[1], 'given corner');
  for (const e of exercise.edges ?? []) for (const p of e.drawn ?? []) add(p[0], p[1], 'end of a given edge');
  for (const l of exercise.lines ?? []) for (const p of [l.a, l.b]) add(p[0], p[1], 'end of a given line');
  for (const p of exercise.told?.points ?? []) if (p.at) add(p.at[0], p.at[1], `${p.role} point`);
  (exercise.targets ?? []).forEach((/** @type {any} */ t, /** @type {number} */ i) => {
    const [a, b] = t.shown ?? [true, true];
    const pair = a && b;
    if (a && t.a) add(t.a[0], t.a[1], pair ? `pair ${i + 1}, first dot` : `dot ${i + 1}`);
    if (b && t.b) add(t.b[0], t.b[1], pair ? `pair ${i + 1}, second dot` : `dot ${i + 1}`);
  });
  strokes.forEach((s, i) => {
    const last = s.x.length - 1;
    add(s.x[0], s.y[0], `start of line ${i + 1}`);
    add(s.x[last], s.y[last], `end of line ${i + 1}`);
  });
  return all;
}
