// @ts-check
// The ruler: two taps make a straight line. Dragging from one end to the
// other does too, but is never needed. Nothing is snapped to.
import { straight } from './stroke.js';
import { TOUCH_PX } from './pointer.js';

/** @typedef {import('./paper.js').Paper} Paper */
/** @typedef {import('./pointer.js').Tool} Tool */
/** @typedef {import('./stroke.js').Stroke} Stroke */
/** @typedef {import('./stroke.js').Role} Role */
/** @typedef {{x: number, y: number, t: number}} Point */

/** @typedef {typeof import('./sheet.js').sheet} Page */

/** Two taps nearer to each other than this are one, mm. */
const NEAR = 1;

/**
 * Puts the ruler on the page's Ruler button.
 * @param {Page} page
 */
export function useRuler(page) {
  const button = document.getElementById('ruler');
  const ruler = makeRuler(page.paper, page);
  const mode = {
    tool: ruler,
    drop: ruler.drop,
    leave() {
      ruler.drop();
      page.say('');
      button?.setAttribute('aria-pressed', 'false');
    },
  };
  page.toggleRuler = () => {
    if (!page.drawable() || page.busy()) return;
    if (page.mode() === mode) {
      page.setMode(null);
      return;
    }
    page.setMode(mode);
    button?.setAttribute('aria-pressed', 'true');
    page.say('Tap where a line starts, then where it ends.');
  };
  button?.addEventListener('click', () => page.toggleRuler());
}

/**
 * @param {Paper} paper
 * @param {{role: () => Role, finish: (s: Stroke) => void, say: (words: string) => void}} use
 * @returns {Tool & {drop(): boolean}} drop takes back a first tap and tells
 *   whether there was one
 */
export function makeRuler(paper, use) {
  /** @type {Point | null} */
  let first = null; // where the line starts
  let fresh = false; // first was set by the gesture that is going on
  /** @type {Point} */
  const now = { x: 0, y: 0, t: 0 };
  let shown = false; // whether now is where the line would end

  const show = () => {
    const a = first;
    if (!a) {
      paper.provisional(null);
      return;
    }
    paper.provisional((ctx, look) => {
      ring(ctx, look.mark, a.x, a.y, paper.pxPerMM);
      if (!shown) return;
      paper.aheadBrush.line(look, use.role(), a, now);
    });
  };

  /** @param {Point} c */
  const aim = (c) => {
    now.x = c.x;
    now.y = c.y;
    now.t = c.t;
    shown = !!first && Math.hypot(c.x - first.x, c.y - first.y) > NEAR;
    show();
  };

  const drop = () => {
    const had = first !== null;
    first = null;
    shown = false;
    show();
    return had;
  };

  return {
    down(c) {
      fresh = !first;
      if (!first) first = { x: c.x, y: c.y, t: c.t };
      aim(c);
    },
    sample: aim,
    up(c) {
      if (!first) return;
      aim(c);
      const tap = c.far < TOUCH_PX;
      if (fresh && tap) {
        use.say('Tap where the line ends.');
        return;
      }
      if (!shown) return; // the same place again: the start stays
      const line = straight(use.role(), 'ruler', first, now);
      drop();
      use.say('');
      use.finish(line);
    },
    cancel() {
      if (fresh) drop();
      shown = false;
      show();
    },
    hover(c) {
      if (first) aim(c);
    },
    taps: () => true,
    drop,
  };
}

/**
 * A ring around a point, of the same size on every screen.
 * @param {CanvasRenderingContext2D} ctx
 * @param {string} colour
 * @param {number} x
 * @param {number} y
 * @param {number} pxPerMM
 */
export function ring(ctx, colour, x, y, pxPerMM) {
  ctx.strokeStyle = colour;
  ctx.lineWidth = 2 / pxPerMM;
  ctx.beginPath();
  ctx.arc(x, y, 8 / pxPerMM, 0, 2 * Math.PI);
  ctx.stroke();
}
