// @ts-check
// The canvases over the board. The dry one holds finished lines, the wet one
// the line that is being drawn, the third, on top, what is still to change:
// that line's last stretch with where the pen will probably be, a ruler's
// first tap, a line not yet kept.
import { Brush, meanWidth } from './paint.js';

/** @typedef {import('./stroke.js').Stroke} Stroke */
/** @typedef {import('./paint.js').Look} Look */
/** @typedef {import('./paint.js').Sheet} Sheet */

/** More pixels than this on one canvas cost more than they show. */
const MOST_PIXELS = 20e6;
/** The narrowest line, in CSS pixels. */
const NARROWEST = 1.2;

const SVG = 'http://www.w3.org/2000/svg';
const LINE = [['fill', 'none'], ['stroke', 'currentColor'], ['stroke-linecap', 'round'], ['stroke-linejoin', 'round']];

export class Paper {
  /**
   * @param {HTMLElement} board
   * @param {HTMLElement} paper where the sheet lies on the board
   * @param {Sheet} sheet
   */
  constructor(board, paper, sheet) {
    this.board = board;
    this.paper = paper;
    this.sheet = sheet;
    this.dry = canvas(board, 'dry', false);
    // Painted in the pointer event and shown without waiting for the page.
    this.wet = canvas(board, 'wet', true);
    this.ahead = canvas(board, 'ahead', true);
    this.dryBrush = new Brush(this.dry, null, sheet);
    this.wetBrush = new Brush(this.wet, this.ahead, sheet);
    this.aheadBrush = new Brush(this.ahead, null, sheet);
    /** @type {readonly Stroke[]} */
    this.strokes = [];
    /** @type {((ctx: CanvasRenderingContext2D, look: Look) => void) | null} */
    this.overlay = null;
    /** Called after the sheet has changed its size or place.
     * @type {() => void} */
    this.onResize = () => {};
    // Where the sheet's corner is in the window, and CSS pixels per mm.
    this.left = 0;
    this.top = 0;
    this.pxPerMM = 1;
    /** @type {Look} */
    this.look = { edge: '#000', pale: '#888', boardEdge: '#000', boardPale: '#888', mark: '#00f', narrowest: 0 };
    this.measure();
    this.watch();
  }

  /** Listens for whatever moves the sheet or changes its colours. */
  watch() {
    const again = () => this.measure();
    if (typeof ResizeObserver === 'function') {
      const o = new ResizeObserver(again);
      o.observe(this.board);
      o.observe(this.paper);
    }
    addEventListener('resize', again);
    addEventListener('scroll', () => this.place(), { capture: true, passive: true });
    const recolour = () => {
      this.colours();
      this.repaint();
    };
    matchMedia('(prefers-color-scheme: dark)').addEventListener?.('change', recolour);
    new MutationObserver(recolour).observe(document.documentElement, { attributeFilter: ['data-theme'] });
    addEventListener('beforeprint', () => this.print());
    addEventListener('afterprint', () => this.printed(true));
  }

  /** Reads where the sheet lies; pointer events only use what it found. */
  place() {
    const r = this.paper.getBoundingClientRect();
    if (r.width <= 0) return;
    this.left = r.left;
    this.top = r.top;
    this.pxPerMM = r.width / this.sheet.width;
  }

  /** Fits the canvases to the board and paints them anew. */
  measure() {
    if (this.dry.canvas.hidden) return; // it is being printed
    this.place();
    const r = this.board.getBoundingClientRect();
    if (r.width <= 0 || r.height <= 0) return;
    let dots = Math.max(1, devicePixelRatio || 1);
    dots = Math.min(dots, Math.sqrt(MOST_PIXELS / (r.width * r.height)));
    const w = Math.round(r.width * dots), h = Math.round(r.height * dots);
    const scale = (this.pxPerMM * w) / r.width;
    for (const ctx of [this.dry, this.wet, this.ahead]) {
      // Setting a canvas's size clears it, so only when it changes.
      if (ctx.canvas.width !== w) ctx.canvas.width = w;
      if (ctx.canvas.height !== h) ctx.canvas.height = h;
      ctx.setTransform(scale, 0, 0, scale, ((this.left - r.left) * w) / r.width, ((this.top - r.top) * h) / r.height);
    }
    this.colours();
    this.repaint();
    this.onResize();
  }

  colours() {
    const css = getComputedStyle(document.documentElement);
    /** @param {string} name @param {string} otherwise */
    const colour = (name, otherwise) => css.getPropertyValue(name).trim() || otherwise;
    const edge = colour('--ink', '#17233B'), pale = colour('--pale', '#7F8593');
    this.look = {
      edge, pale,
      boardEdge: colour('--desk-ink', edge),
      boardPale: colour('--desk-pale', pale),
      mark: colour('--width', edge),
      narrowest: NARROWEST / this.pxPerMM,
    };
  }

  /** For print, writes the lines into the sheet's own picture: how a canvas
   * comes out of a printer is up to the browser. */
  print() {
    this.printed(false);
    const svg = this.paper.querySelector('svg');
    if (!svg) return;
    const layer = document.createElementNS(SVG, 'g');
    layer.setAttribute('class', 'printed');
    for (const s of this.strokes) {
      const line = document.createElementNS(SVG, 'polyline');
      line.setAttribute('class', s.role === 'construction' ? 'ink-construction' : 'ink-line');
      line.setAttribute('points', Array.from(s.x, (x, i) => `${x},${s.y[i]}`).join(' '));
      line.setAttribute('stroke-width', String(meanWidth(s)));
      for (const [name, value] of LINE) line.setAttribute(name, value);
      layer.append(line);
    }
    svg.append(layer);
    for (const ctx of [this.dry, this.wet, this.ahead]) ctx.canvas.hidden = true;
  }

  /** Takes the printed lines away again.
   * @param {boolean} show whether the canvases show theirs again */
  printed(show) {
    this.paper.querySelector('.printed')?.remove();
    if (!show) return;
    for (const ctx of [this.dry, this.wet, this.ahead]) ctx.canvas.hidden = false;
    this.measure();
  }

  /** Paints the dry lines and the overlay again. */
  repaint() {
    clear(this.dry);
    for (const s of this.strokes) this.dryBrush.stroke(this.look, s);
    this.provisional(this.overlay);
  }

  /**
   * Shows these lines as the drawing. What only grew at its end is not
   * painted anew.
   * @param {readonly Stroke[]} strokes
   */
  show(strokes) {
    const old = this.strokes;
    this.strokes = strokes;
    if (strokes.length < old.length || old.some((s, i) => s !== strokes[i])) {
      this.repaint();
      return;
    }
    for (let i = old.length; i < strokes.length; i++) this.dryBrush.stroke(this.look, strokes[i]);
  }

  clearWet() {
    clear(this.wet);
  }

  /**
   * Shows something provisional, in place of what was; null shows nothing.
   * @param {((ctx: CanvasRenderingContext2D, look: Look) => void) | null} paint
   */
  provisional(paint) {
    this.overlay = paint;
    clear(this.ahead);
    if (!paint) return;
    this.ahead.save();
    paint(this.ahead, this.look);
    this.ahead.restore();
  }

  /** Takes every line off the canvases. */
  clear() {
    this.strokes = [];
    this.overlay = null;
    for (const ctx of [this.dry, this.wet, this.ahead]) clear(ctx);
  }

  /** @param {number} clientX */
  xAt(clientX) {
    return (clientX - this.left) / this.pxPerMM;
  }

  /** @param {number} clientY */
  yAt(clientY) {
    return (clientY - this.top) / this.pxPerMM;
  }
}

/**
 * @param {HTMLElement} board
 * @param {string} id
 * @param {boolean} immediate
 */
function canvas(board, id, immediate) {
  const c = document.createElement('canvas');
  c.id = id;
  c.setAttribute('aria-hidden', 'true');
  board.append(c);
  const ctx = c.getContext('2d', { alpha: true, desynchronized: immediate });
  if (!ctx) throw new Error('no canvas to draw on');
  return ctx;
}

/** @param {CanvasRenderingContext2D} ctx */
function clear(ctx) {
  ctx.save();
  ctx.setTransform(1, 0, 0, 1, 0, 0);
  ctx.clearRect(0, 0, ctx.canvas.width, ctx.canvas.height);
  ctx.restore();
}
