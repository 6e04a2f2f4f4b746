// @ts-check
// The free hand: every sample that the device tells, painted at once.
import { Samples } from './stroke.js';
import { TOUCH_PX } from './pointer.js';

/** @typedef {import('./paper.js').Paper} Paper */
/** @typedef {import('./pointer.js').Contact} Contact */
/** @typedef {import('./pointer.js').Tool} Tool */
/** @typedef {import('./stroke.js').Stroke} Stroke */
/** @typedef {import('./stroke.js').Role} Role */

/** A pen or mouse that reaches less far than this many pixels made no line. */
const DOT_PX = 3;
/** Nothing lies ahead. @type {readonly {x: number, y: number}[]} */
const NOTHING = [];

/**
 * @param {Paper} paper
 * @param {{role: () => Role, finish: (s: Stroke) => void, tap: (c: Contact) => boolean, taps: () => boolean, lifted: () => void}} use
 *   finish takes the line; tap is offered what was too short for a line, and
 *   what it accepts is none; taps: whether anyone waits for taps; lifted is called after each gesture
 * @returns {Tool & {repaint(): void}}
 */
export function makePen(paper, use) {
  const samples = new Samples();
  const brush = paper.wetBrush;
  /** @type {Role} */
  let role = 'edge';
  let pressed = false; // whether the pressure is one
  let drawing = false;

  const lift = () => {
    drawing = false;
    brush.wipe();
    paper.clearWet();
    use.lifted();
  };

  return {
    down(c) {
      role = use.role();
      pressed = c.type === 'pen';
      drawing = true;
      paper.provisional(null);
      samples.n = 0;
      samples.add(c.x, c.y, c.t, c.p);
      brush.start(paper.look, role, c.x, c.y, pressed ? c.p : -1);
      brush.grow(NOTHING);
    },

    sample(c) {
      samples.add(c.x, c.y, c.t, c.p);
      brush.to(c.x, c.y, c.p);
    },

    ahead(events) {
      brush.grow(events.length === 0 ? NOTHING
        : events.map((e) => ({ x: paper.xAt(e.clientX), y: paper.yAt(e.clientY) })));
    },

    up(c) {
      const i = samples.n - 1;
      // A pen lifted where it lay adds no sample: the last one says it.
      if (Math.hypot(c.x - samples.x[i], c.y - samples.y[i]) >= 0.005) {
        samples.add(c.x, c.y, c.t, c.p);
      }
      const short = c.far < (c.type === 'touch' ? TOUCH_PX : DOT_PX);
      const tapped = c.far < TOUCH_PX && use.tap(c);
      if (!tapped && !short && samples.n >= 2) {
        use.finish(samples.stroke(role, c.type));
      }
      lift();
    },

    cancel: lift,
    taps: use.taps,

    /** Paints the line in the making again, after the canvas was cleared. */
    repaint() {
      if (!drawing) return;
      const { x, y, p, n } = samples;
      paper.clearWet();
      brush.start(paper.look, role, x[0], y[0], pressed ? p[0] : -1);
      for (let i = 1; i < n; i++) brush.to(x[i], y[i], p[i]);
      brush.grow(NOTHING);
    },
  };
}
