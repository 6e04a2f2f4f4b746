// @ts-check
// How ink looks: widths from pressure, and segments painted one by one, so
// that a sample costs the same however long the line is. Coordinates and
// widths are millimetres; the context's transform makes pixels of them.

/** @typedef {import('./stroke.js').Stroke} Stroke */
/** @typedef {import('./stroke.js').Role} Role */
/**
 * Colours on the sheet and on the board around it, and the narrowest line
 * that the screen shows well.
 * @typedef {{edge: string, pale: string, boardEdge: string, boardPale: string, mark: string, narrowest: number}} Look
 */
/** @typedef {{width: number, height: number}} Sheet */

// The same widths as in the redline, which the server draws.
const EVEN = 0.7; // without pressure
const THIN = 0.35; // at no pressure
const THICK = 1.1; // at full pressure
const PALE = 0.35; // of construction lines

/** How fast the width follows the pressure, for coarse pressure sensors. */
const FOLLOW = 0.4;

/** A pen that paints one line after another on one canvas. */
export class Brush {
  /**
   * @param {CanvasRenderingContext2D} ctx
   * @param {Sheet} sheet
   */
  constructor(ctx, sheet) {
    this.ctx = ctx;
    this.sheet = sheet;
    this.inside = this.outside = '#000';
    this.narrowest = 0;
    this.even = EVEN;
    this.pressed = false;
    this.x = this.y = this.width = 0;
  }

  /**
   * Sets the pen down. p is the pressure, negative where there is none.
   * @param {Look} look
   * @param {Role} role
   * @param {number} x
   * @param {number} y
   * @param {number} p
   */
  start(look, role, x, y, p) {
    const pale = role === 'construction';
    this.inside = pale ? look.pale : look.edge;
    this.outside = pale ? look.boardPale : look.boardEdge;
    this.narrowest = look.narrowest;
    this.even = pale ? PALE : EVEN;
    this.pressed = !pale && p >= 0;
    this.width = this.pressed ? THIN + (THICK - THIN) * p : this.even;
    this.x = x;
    this.y = y;
    this.ctx.lineCap = 'round';
  }

  /**
   * Draws on to a point.
   * @param {number} x
   * @param {number} y
   * @param {number} p
   */
  to(x, y, p) {
    if (this.pressed) this.width += FOLLOW * (THIN + (THICK - THIN) * p - this.width);
    this.ctx.lineWidth = Math.max(this.width, this.narrowest);
    this.segment(this.x, this.y, x, y);
    this.x = x;
    this.y = y;
  }

  /**
   * Paints a segment in the sheet's colour where it lies on the sheet, and in
   * the board's where it does not.
   * @param {number} ax
   * @param {number} ay
   * @param {number} bx
   * @param {number} by
   */
  segment(ax, ay, bx, by) {
    const { width, height } = this.sheet;
    const aIn = ax >= 0 && ax <= width && ay >= 0 && ay <= height;
    const bIn = bx >= 0 && bx <= width && by >= 0 && by <= height;
    if ((aIn && bIn) || this.inside === this.outside) {
      this.stretch(this.inside, ax, ay, bx, by);
      return;
    }
    // The part of the way from a to b that lies on the sheet (Liang and
    // Barsky's clipping, from memory).
    let lo = 0, hi = 1;
    const dx = bx - ax, dy = by - ay;
    if (dx !== 0) {
      const s = -ax / dx, t = (width - ax) / dx;
      lo = Math.max(lo, Math.min(s, t));
      hi = Math.min(hi, Math.max(s, t));
    } else if (!(ax >= 0 && ax <= width)) hi = -1;
    if (dy !== 0) {
      const s = -ay / dy, t = (height - ay) / dy;
      lo = Math.max(lo, Math.min(s, t));
      hi = Math.min(hi, Math.max(s, t));
    } else if (!(ay >= 0 && ay <= height)) hi = -1;
    if (hi <= lo) {
      this.stretch(this.outside, ax, ay, bx, by);
      return;
    }
    const cx = ax + lo * dx, cy = ay + lo * dy, ex = ax + hi * dx, ey = ay + hi * dy;
    if (lo > 0) this.stretch(this.outside, ax, ay, cx, cy);
    if (hi < 1) this.stretch(this.outside, ex, ey, bx, by);
    this.stretch(this.inside, cx, cy, ex, ey);
  }

  /**
   * @param {string} colour
   * @param {number} ax
   * @param {number} ay
   * @param {number} bx
   * @param {number} by
   */
  stretch(colour, ax, ay, bx, by) {
    const { ctx } = this;
    ctx.strokeStyle = colour;
    ctx.beginPath();
    ctx.moveTo(ax, ay);
    ctx.lineTo(bx, by);
    ctx.stroke();
  }

  /**
   * Paints a whole stroke, the same way that it grew.
   * @param {Look} look
   * @param {Stroke} s
   */
  stroke(look, s) {
    this.start(look, s.role, s.x[0], s.y[0], s.p ? s.p[0] : -1);
    for (let i = 1; i < s.x.length; i++) this.to(s.x[i], s.y[i], s.p ? s.p[i] : -1);
  }
}
