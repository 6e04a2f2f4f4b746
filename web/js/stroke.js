// @ts-check
// Strokes as columns of samples, and the buffer that gathers one while it is
// drawn. Nothing here knows the DOM.

/** Limits of one attempt, as the server holds them. */
export const MAX_STROKES = 512;
export const MAX_SAMPLES = 4096;
/** How many sheet widths a sample may lie off the sheet; a hair less than the
 * server's 3, so that rounding cannot carry a sample over. */
export const REACH = 2.99;

/** @typedef {'edge' | 'construction'} Role */
/** @typedef {'pen' | 'touch' | 'mouse' | 'keyboard' | 'twotap' | 'ruler'} Pointer */
/**
 * One line as it was drawn. Columns are of equal length, at least 2: x and y
 * in millimetres on the sheet, t in milliseconds since the sheet was shown
 * and never falling, p the pressure from 0 to 1, or null without a pen.
 * @typedef {{role: Role, pointer: Pointer, x: Float64Array, y: Float64Array, t: Float64Array, p: Float64Array | null}} Stroke
 */
/** @typedef {{width: number, height: number}} Sheet millimetres */

/** @param {number} v millimetres */
export const round2 = (v) => Math.round(v * 100) / 100;
/** @param {number} v milliseconds */
export const round1 = (v) => Math.round(v * 10) / 10;
/** @param {number} v pressure */
export const round3 = (v) => Math.round(Math.min(1, Math.max(0, v)) * 1000) / 1000;

/**
 * Moves a point that lies too far off the sheet to where the way back to the
 * sheet comes within reach. It writes into at, to spare an allocation.
 * @param {{x: number, y: number}} at
 * @param {Sheet} sheet
 */
export function reach(at, sheet) {
  const nearX = Math.min(sheet.width, Math.max(0, at.x));
  const nearY = Math.min(sheet.height, Math.max(0, at.y));
  const far = Math.hypot(at.x - nearX, at.y - nearY);
  const most = REACH * sheet.width;
  if (far > most) {
    at.x = nearX + ((at.x - nearX) * most) / far;
    at.y = nearY + ((at.y - nearY) * most) / far;
  }
}

/** Room for one stroke in the making: a minute of the fastest pens. A longer
 * one is thinned on the way, its beginning then more than its end. */
const ROOM = 16 * MAX_SAMPLES;

/** The samples of the stroke that is being drawn. Made once and used again,
 * so that a moving pen allocates nothing. */
export class Samples {
  constructor() {
    this.n = 0;
    this.x = new Float64Array(ROOM);
    this.y = new Float64Array(ROOM);
    this.t = new Float64Array(ROOM);
    this.p = new Float64Array(ROOM);
  }

  /**
   * Adds a sample, rounded to 0.01 mm, 0.1 ms and 0.001. A time that falls is
   * raised to the last one; an exact repetition is not added.
   * @param {number} x
   * @param {number} y
   * @param {number} t
   * @param {number} p
   */
  add(x, y, t, p) {
    x = round2(x);
    y = round2(y);
    t = Math.max(0, round1(t));
    const i = this.n - 1;
    if (i >= 0) {
      t = Math.max(t, this.t[i]);
      if (t === this.t[i] && x === this.x[i] && y === this.y[i]) return;
    }
    if (this.n === ROOM) this.n = thin(this, this.n, MAX_SAMPLES);
    this.x[this.n] = x;
    this.y[this.n] = y;
    this.t[this.n] = t;
    this.p[this.n] = round3(p);
    this.n++;
  }

  /**
   * Returns the stroke so far, of at most MAX_SAMPLES samples.
   * @param {Role} role
   * @param {Pointer} pointer
   * @returns {Stroke}
   */
  stroke(role, pointer) {
    const n = thin(this, this.n, MAX_SAMPLES);
    this.n = n;
    return {
      role, pointer,
      x: this.x.slice(0, n), y: this.y.slice(0, n), t: this.t.slice(0, n),
      // What mice and fingers report as pressure is none.
      p: pointer === 'pen' ? this.p.slice(0, n) : null,
    };
  }
}

/**
 * Thins the first n samples of c, in place, to at most most, and returns how
 * many are left. Ends are kept. First go samples at which the pen stood
 * still; then, in rounds, every second one that lies within a slack of the
 * straight way between its neighbours, so that the density stays even where
 * the line is smooth and the shape is kept where it is not. The slack starts
 * at the rounding, 0.01 mm, and doubles each round; at 4000 samples on a sheet
 * it hardly ever needs a second one.
 * @param {{x: Float64Array, y: Float64Array, t: Float64Array, p: Float64Array | null}} c
 * @param {number} n
 * @param {number} most at least 2
 */
export function thin(c, n, most) {
  if (n <= most) return n;
  n = sift(c, n, (i, last) => c.x[i] === c.x[last] && c.y[i] === c.y[last]);
  for (let slack = 0.01; n > most; slack *= 2) {
    let skipped = false;
    n = sift(c, n, (i, last) => {
      skipped = !skipped && off(c, last, i, i + 1) <= slack;
      return skipped;
    });
  }
  return n;
}

/**
 * Drops the inner samples for which drop holds; last is where the sample kept
 * before lies.
 * @param {{x: Float64Array, y: Float64Array, t: Float64Array, p: Float64Array | null}} c
 * @param {number} n
 * @param {(i: number, last: number) => boolean} drop
 */
function sift(c, n, drop) {
  let kept = 1;
  for (let i = 1; i < n; i++) {
    if (i < n - 1 && drop(i, kept - 1)) continue;
    c.x[kept] = c.x[i];
    c.y[kept] = c.y[i];
    c.t[kept] = c.t[i];
    if (c.p) c.p[kept] = c.p[i];
    kept++;
  }
  return kept;
}

/**
 * How far sample i lies from the segment between samples a and b.
 * @param {{x: Float64Array, y: Float64Array}} c
 * @param {number} a
 * @param {number} i
 * @param {number} b
 */
function off(c, a, i, b) {
  const dx = c.x[b] - c.x[a], dy = c.y[b] - c.y[a];
  const ex = c.x[i] - c.x[a], ey = c.y[i] - c.y[a];
  const l2 = dx * dx + dy * dy;
  const s = l2 > 0 ? Math.min(1, Math.max(0, (ex * dx + ey * dy) / l2)) : 0;
  return Math.hypot(ex - s * dx, ey - s * dy);
}

/**
 * A straight line of two samples, from one point to another.
 * @param {Role} role
 * @param {Pointer} pointer
 * @param {{x: number, y: number, t: number}} from
 * @param {{x: number, y: number, t: number}} to
 * @returns {Stroke}
 */
export function straight(role, pointer, from, to) {
  const t = Math.max(0, round1(from.t));
  return {
    role, pointer,
    x: Float64Array.of(round2(from.x), round2(to.x)),
    y: Float64Array.of(round2(from.y), round2(to.y)),
    t: Float64Array.of(t, Math.max(t, round1(to.t))),
    p: null,
  };
}

/**
 * Makes a stroke of what a store on the device gave back, whose columns may
 * be plain arrays there.
 * @param {any} s
 * @returns {Stroke}
 */
export function restored(s) {
  return {
    role: s.role === 'construction' ? 'construction' : 'edge',
    pointer: s.pointer,
    x: Float64Array.from(s.x), y: Float64Array.from(s.y), t: Float64Array.from(s.t),
    p: s.p ? Float64Array.from(s.p) : null,
  };
}
