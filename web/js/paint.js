// @ts-check
// How ink looks: widths from pressure, and lines painted in stretches.
// Coordinates and widths are millimetres; the context's transform makes
// pixels of them.
//
// A stretch is painted as one shape. Painted segment by segment, a thin line
// would show a dark dot wherever two softened ends overlap.

/** @typedef {import('./stroke.js').Stroke} Stroke */
/** @typedef {import('./stroke.js').Role} Role */
/**
 * Colours on the sheet and on the board around it, and the narrowest line
 * that the screen shows well.
 * @typedef {{edge: string, pale: string, boardEdge: string, boardPale: string, mark: string, narrowest: number}} Look
 */
/** @typedef {{width: number, height: number}} Sheet */
/** @typedef {CanvasRenderingContext2D} Ctx */

// The same widths as in the redline, which the server draws.
const EVEN = 0.7; // without pressure
const THIN = 0.35; // at no pressure
const THICK = 1.1; // at full pressure
const PALE = 0.35; // of construction lines

/** The mean width of a stroke, for where it is drawn evenly.
 * @param {Stroke} s */
export function meanWidth(s) {
  if (s.role === 'construction') return PALE;
  if (!s.p) return EVEN;
  return THIN + (THICK - THIN) * (s.p.reduce((sum, p) => sum + p, 0) / s.p.length);
}

/** How fast the width follows the pressure, for coarse pressure sensors. */
const FOLLOW = 0.4;

/** Samples of a stretch. */
const LENGTH = 64;
/** Half the widest line and a little. */
const MARGIN = 1.5;
/** Cosine of the turn up to which two bars leave no gap that shows. */
const STRAIGHT = 0.97;

/** The samples of one stretch: of a line, a chain of stretches. */
class Stretch {
  /** @param {number} room */
  constructor(room) {
    this.n = 0;
    this.x = new Float64Array(room);
    this.y = new Float64Array(room);
    this.w = new Float64Array(room);
  }

  /** @param {number} x @param {number} y @param {number} w */
  add(x, y, w) {
    this.x[this.n] = x;
    this.y[this.n] = y;
    this.w[this.n] = w;
    this.n++;
  }
}

/** A pen that paints one line after another. What is finished of a line goes
 * to one canvas; its last stretch, which still grows, may go to another, where
 * it is wiped and painted again at each event. */
export class Brush {
  /**
   * @param {Ctx} ctx
   * @param {Ctx | null} open where the last stretch grows; null: nowhere
   * @param {Sheet} sheet
   */
  constructor(ctx, open, sheet) {
    this.ctx = ctx;
    this.open = open;
    this.sheet = sheet;
    // Room for what is probably coming, too.
    this.stretch = new Stretch(2 * LENGTH);
    /** @type {Look | null} */
    this.look = null;
    this.pale = false;
    this.pressed = false;
    this.width = 0;
    this.box = { left: 0, top: 0, right: 0, bottom: 0 }; // what open shows
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
    this.look = look;
    this.pale = role === 'construction';
    this.pressed = !this.pale && p >= 0;
    this.width = this.pressed ? THIN + (THICK - THIN) * p : this.pale ? PALE : EVEN;
    this.stretch.n = 0;
    this.stretch.add(x, y, this.width);
  }

  /**
   * Draws on to a point; nothing is seen of it before grow or finish.
   * @param {number} x
   * @param {number} y
   * @param {number} p
   */
  to(x, y, p) {
    const { stretch } = this;
    if (this.pressed) this.width += FOLLOW * (THIN + (THICK - THIN) * p - this.width);
    stretch.add(x, y, this.width);
    if (stretch.n < LENGTH) return;
    this.paint(this.ctx, stretch.n);
    stretch.n = 0;
    stretch.add(x, y, this.width);
  }

  /**
   * Shows the last stretch, and after it the points that are probably coming,
   * which are forgotten again.
   * @param {readonly {x: number, y: number}[]} ahead
   */
  grow(ahead) {
    const { open, stretch } = this;
    if (!open) return;
    this.wipe();
    const { n } = stretch;
    for (let i = 0; i < ahead.length && i < LENGTH; i++) stretch.add(ahead[i].x, ahead[i].y, this.width);
    this.box = bounds(stretch);
    this.paint(open, stretch.n);
    stretch.n = n;
  }

  /** Takes the last stretch off the canvas where it grows. */
  wipe() {
    const { left, top, right, bottom } = this.box;
    this.open?.clearRect(left - MARGIN, top - MARGIN, right - left + 2 * MARGIN, bottom - top + 2 * MARGIN);
    this.box = { left: 0, top: 0, right: 0, bottom: 0 };
  }

  /** Paints what is left of the line for good. */
  finish() {
    this.paint(this.ctx, this.stretch.n);
    this.stretch.n = 0;
  }

  /**
   * Paints the first n samples of the stretch in the sheet's colour where
   * they lie on the sheet, and in the board's where they do not.
   * @param {Ctx} ctx
   * @param {number} n
   */
  paint(ctx, n) {
    const { look, pale, sheet, stretch } = this;
    if (!look || n === 0) return;
    const inside = pale ? look.pale : look.edge;
    const outside = pale ? look.boardPale : look.boardEdge;
    const { left, top, right, bottom } = bounds(stretch);
    const within = left >= 0 && top >= 0 && right <= sheet.width && bottom <= sheet.height;
    if (within || inside === outside) {
      this.shape(ctx, n, inside);
      return;
    }
    ctx.save();
    ctx.beginPath();
    ctx.rect(left - MARGIN, top - MARGIN, right - left + 2 * MARGIN, bottom - top + 2 * MARGIN);
    ctx.rect(0, 0, sheet.width, sheet.height);
    ctx.clip('evenodd');
    this.shape(ctx, n, outside);
    ctx.restore();
    ctx.save();
    ctx.beginPath();
    ctx.rect(0, 0, sheet.width, sheet.height);
    ctx.clip();
    this.shape(ctx, n, inside);
    ctx.restore();
  }

  /**
   * @param {Ctx} ctx
   * @param {number} n
   * @param {string} colour
   */
  shape(ctx, n, colour) {
    const { x, y, w } = this.stretch;
    const narrowest = this.look ? this.look.narrowest : 0;
    ctx.beginPath();
    if (!this.pressed) {
      ctx.moveTo(x[0], y[0]);
      for (let i = n > 1 ? 1 : 0; i < n; i++) ctx.lineTo(x[i], y[i]);
      ctx.strokeStyle = colour;
      ctx.lineWidth = Math.max(narrowest, w[0]);
      ctx.lineCap = ctx.lineJoin = 'round';
      ctx.stroke();
      return;
    }
    // Bars, and discs at the ends and wherever the line turns, all with the
    // same sense of winding, so that what overlaps is one shape.
    let ox = 0, oy = 0; // across the bar before
    for (let i = 0; i < n; i++) {
      const r = Math.max(narrowest, w[i]) / 2;
      const q = i > 0 ? Math.max(narrowest, w[i - 1]) / 2 : r;
      const dx = i > 0 ? x[i] - x[i - 1] : 0, dy = i > 0 ? y[i] - y[i - 1] : 0;
      const l = Math.hypot(dx, dy);
      if (i === n - 1 || l === 0) disc(ctx, x[i], y[i], r);
      if (l === 0) continue;
      const nx = -dy / l, ny = dx / l;
      if (nx * ox + ny * oy < STRAIGHT) disc(ctx, x[i - 1], y[i - 1], q);
      ox = nx;
      oy = ny;
      ctx.moveTo(x[i - 1] - q * nx, y[i - 1] - q * ny);
      ctx.lineTo(x[i] - r * nx, y[i] - r * ny);
      ctx.lineTo(x[i] + r * nx, y[i] + r * ny);
      ctx.lineTo(x[i - 1] + q * nx, y[i - 1] + q * ny);
      ctx.closePath();
    }
    ctx.fillStyle = colour;
    ctx.fill();
  }

  /**
   * Paints a whole stroke.
   * @param {Look} look
   * @param {Stroke} s
   */
  stroke(look, s) {
    this.start(look, s.role, s.x[0], s.y[0], s.p ? s.p[0] : -1);
    for (let i = 1; i < s.x.length; i++) this.to(s.x[i], s.y[i], s.p ? s.p[i] : -1);
    this.finish();
  }

  /**
   * Paints a straight line.
   * @param {Look} look
   * @param {Role} role
   * @param {{x: number, y: number}} from
   * @param {{x: number, y: number}} to
   */
  line(look, role, from, to) {
    this.start(look, role, from.x, from.y, -1);
    this.to(to.x, to.y, -1);
    this.finish();
  }
}

/** @param {Ctx} ctx @param {number} x @param {number} y @param {number} r */
function disc(ctx, x, y, r) {
  ctx.moveTo(x + r, y);
  ctx.arc(x, y, r, 0, 2 * Math.PI);
}

/** @param {Stretch} s */
function bounds(s) {
  let left = Infinity, top = Infinity, right = -Infinity, bottom = -Infinity;
  for (let i = 0; i < s.n; i++) {
    left = Math.min(left, s.x[i]);
    right = Math.max(right, s.x[i]);
    top = Math.min(top, s.y[i]);
    bottom = Math.max(bottom, s.y[i]);
  }
  return { left, top, right, bottom };
}
