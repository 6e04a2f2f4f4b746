// @ts-check
// Vanishing points and the horizon, marked where the learner finds them, on
// the sheet or far off it: chosen in the bar, put by a tap, moved by dragging,
// by the arrow keys or by buttons. Nothing is snapped to.
import { onHold } from './hold.js';
import { shownEdges } from './edges.js';
import { TURN } from './line.js';
import { makeBar, makeButton, makeRow } from './markbar.js';
import { makeMarkView } from './markview.js';
import { HORIZON, horizonAt, keyOf, lineOf, markWords, nudged, pointAt, turned } from './mark.js';
import { TOUCH_PX } from './pointer.js';
import { makeZoom } from './zoom.js';

/** @typedef {typeof import('./sheet.js').sheet} Page */
/** @typedef {import('./mark.js').Mark} Mark */
/** @typedef {import('./stroke.js').Pointer} Pointer */
/** @typedef {import('./pointer.js').Contact} Contact */
/** @typedef {import('./markview.js').Item} Item */
/** @typedef {{id: string, name: string, look: string, set: string}} Asked */
/** @typedef {'fine' | 'plain' | 'coarse' | 'jump'} Step */

/** How near to a mark a pointer takes hold of it, in CSS pixels. */
const HOLD_PX = 24;
/** What one nudge moves, mm. */
const MOVE = { fine: 0.1, plain: 0.5, coarse: 5, jump: 50 };

const LABEL = 'Drawing board. Figures choose what to mark; the arrow keys then move it, with shift far, with alt finely, ' +
  'Home, End, Page Up and Page Down very far; Delete takes it away. Minus and plus show the board smaller and larger, 0 the sheet. ' +
  'N draws a construction line, U undoes, R is the ruler. Enter hands in.';

/** What a sheet asks to mark. @param {any} exercise @returns {Asked[]} */
export function askedMarks(exercise) {
  const { points = [], horizon } = exercise.asked ?? {};
  /** @type {Asked[]} */
  const all = points.map((/** @type {string} */ id) => {
    const set = exercise.points?.find((/** @type {any} */ p) => p.id === id)?.set ?? '';
    const name = points.length === 1 ? 'Vanishing point' : `${set.slice(0, 1).toUpperCase()}${set.slice(1)} point`;
    return { id, name, look: `set-${set}`, set };
  });
  if (horizon) all.push({ id: HORIZON, name: 'Horizon', look: 'set-horizon', set: '' });
  return all;
}

/** @param {Page} page */
export function useMeet(page) {
  const asked = askedMarks(page.exercise);
  const edges = shownEdges(page.exercise);
  const { paper, drawing } = page;
  const level = page.exercise.view === 'one';
  const view = makeMarkView(paper);
  /** @type {Asked | null} */
  let chosen = null;
  /** The mark while it is dragged. @type {Mark | null} */
  let dragged = null;
  /** @type {Step} */
  let step = 'plain';
  paper.wet.canvas.setAttribute('aria-label', LABEL);

  /** @param {Asked | null} a @returns {Mark | null} */
  const markOf = (a) => (a && drawing.marks.find((m) => keyOf(m) === a.id)) ?? null;

  const choosers = asked.map((a) => makeButton({ id: `mark-${a.id}`, words: a.name, sample: a.look }));
  const smaller = makeButton({ id: 'smaller', words: 'Smaller', title: 'Show more of the board (-)', path: 'M5 12h14' });
  const larger = makeButton({ id: 'larger', words: 'Larger', title: 'Show it larger, around the chosen mark (+)', path: 'M5 12h14M12 5v14' });
  const home = makeButton({ id: 'home', words: 'Sheet', title: 'Show the sheet as at first (0)', path: 'M4 6h16v12H4Z' });
  const moves = {
    left: makeButton({ id: 'mark-left', words: 'Left', path: 'm13 6-6 6 6 6' }),
    right: makeButton({ id: 'mark-right', words: 'Right', path: 'm11 6 6 6-6 6' }),
    up: makeButton({ id: 'mark-up', words: 'Up', path: 'm6 13 6-6 6 6' }),
    down: makeButton({ id: 'mark-down', words: 'Down', path: 'm6 11 6 6 6-6' }),
  };
  const stepper = makeButton({ id: 'mark-step', words: '0.5 mm', title: 'How far the arrows move' });
  const movers = makeRow('movers', moves.left, moves.up, moves.down, moves.right, stepper);
  const { say, leave } = makeBar('Marks', makeRow('choosers', ...choosers), movers, makeRow('zooms', smaller, larger, home));

  const zoom = makeZoom(paper, () => show());

  /** The ring that a drag takes hold of.
   * @param {Contact} c @returns {'at' | 'to' | null} */
  const handle = (c) => {
    const m = markOf(chosen);
    for (const end of /** @type {const} */ (['to', 'at'])) {
      const p = m?.[end];
      if (p && Math.hypot(p[0] - c.x, p[1] - c.y) * paper.pxPerMM <= HOLD_PX) return end;
    }
    return null;
  };

  /** @param {Asked} a @param {Mark} m @returns {Item[]} */
  const items = (a, m) => {
    const now = chosen === a;
    /** @param {[number, number]} at @param {string} name @returns {Item} */
    const ring = (at, name) => ({ kind: 'ring', at, look: a.look, name, chosen: now, wide: m === dragged });
    if (a.id !== HORIZON) return m.at ? [ring(m.at, a.name)] : [];
    /** @type {Item[]} */
    const all = [{ kind: 'level', line: lineOf(m), look: a.look }];
    if (now && m.at) all.push(ring(m.at, ''));
    if (now && m.to) all.push(ring(m.to, ''));
    return all;
  };

  const show = () => {
    if (page.desk.dataset.state === 'redline') {
      view.remove();
      leave();
      if (zoom.away) zoom.home();
      return;
    }
    /** @type {Item[]} */
    const all = [];
    for (const e of edges) {
      if (chosen && e.set === chosen.set) all.push({ kind: 'edge', a: e.a, b: e.b, look: chosen.look });
    }
    asked.forEach((a, i) => {
      const m = chosen === a && dragged ? dragged : markOf(a);
      if (m) all.push(...items(a, m));
      choosers[i].setAttribute('aria-pressed', String(chosen === a));
      choosers[i].dataset.placed = String(!!m);
      choosers[i].setAttribute('aria-label', `${a.name}, ${m ? `marked: ${markWords(m)}` : 'not marked yet'}`);
      choosers[i].disabled = !page.drawable();
    });
    view.show(all);
    movers.inert = !chosen;
    for (const b of [moves.left, moves.right]) b.disabled = chosen?.id === HORIZON && level;
    smaller.disabled = !zoom.canShrink();
    larger.disabled = !zoom.canGrow();
    home.disabled = !zoom.away;
  };

  const words = () => {
    if (!chosen) return asked.every(markOf) ? 'All is marked.' : 'Choose what you mark, then tap where it is.';
    const m = markOf(chosen);
    if (m) return `${chosen.name}: ${markWords(m)}.`;
    if (chosen.id !== HORIZON) return `${chosen.name}: tap where it is, on the sheet or off it.`;
    return level ? 'Horizon: tap a place on it.' : 'Horizon: tap a place on it, then a second one.';
  };

  /** @param {{x: number, y: number}} p @param {Pointer} pointer @returns {Mark | null} */
  const placed = (p, pointer) => {
    if (!chosen) return null;
    if (chosen.id !== HORIZON) return pointAt(chosen.id, p, pointer, paper.sheet);
    return horizonAt(markOf(chosen), p, level, pointer, paper.sheet);
  };

  /** @param {Mark | null} m @param {boolean} [nudge] */
  const put = (m, nudge) => {
    if (m && page.drawable()) drawing.mark(m, nudge);
    say(words());
  };

  /** Moves the mark; the first move puts it in the middle of the sheet. The
   * horizon moves up and down and is turned to the sides.
   * @param {number} dx @param {number} dy @param {Step} size @param {Pointer} by */
  const nudge = (dx, dy, size, by) => {
    const m = markOf(chosen);
    const { sheet } = paper;
    if (!m) return put(placed({ x: sheet.width / 2, y: sheet.height / 2 }, by));
    const mm = MOVE[size];
    if (m.for !== HORIZON) return put({ ...nudged(m, dx * mm, dy * mm, sheet), pointer: by }, true);
    if (dy) return put({ ...nudged(m, 0, dy * mm, sheet), pointer: by }, true);
    if (!level) put({ ...turned(m, dx * TURN[size === 'jump' ? 'coarse' : size]), pointer: by }, true);
  };

  /** @type {{x: number, y: number} | null} */
  let held = null; // from the pointer to the ring it holds
  /** @type {'at' | 'to'} */
  let end = 'at';
  /** @param {Contact} c */
  const drag = (c) => {
    const m = markOf(chosen);
    if (!held || !m) return;
    const [x, y] = pointAt('', { x: c.x + held.x, y: c.y + held.y }, c.type, paper.sheet).at ?? [0, 0];
    dragged = { ...m, [end]: [x, y], pointer: c.type };
    show();
  };
  const release = () => {
    held = null;
    dragged = null;
    show();
  };

  /** Takes hold of the chosen mark; elsewhere the pen draws.
   * @type {import('./pointer.js').Tool} */
  const tool = {
    down(c) {
      const h = handle(c);
      const p = h && markOf(chosen)?.[h];
      if (!h || !p) return page.pen.down(c);
      end = h;
      held = { x: p[0] - c.x, y: p[1] - c.y };
    },
    sample(c) {
      if (!held) return page.pen.sample(c);
      if (c.far >= TOUCH_PX) drag(c);
    },
    ahead(events) {
      if (!held) page.pen.ahead?.(events);
    },
    up(c) {
      if (!held) return page.pen.up(c);
      if (c.far >= TOUCH_PX) drag(c);
      const m = dragged;
      release();
      put(m ?? placed(c, c.type)); // a tap puts it there, however near
    },
    cancel() {
      if (!held) return page.pen.cancel();
      release();
    },
    taps: () => true,
  };

  /** @param {KeyboardEvent} e */
  const size = (e) => (e.shiftKey ? 'coarse' : e.altKey ? 'fine' : 'plain');

  const mode = {
    tool,
    /** @param {Contact} c */
    tap(c) {
      put(placed(c, c.type));
      return true;
    },
    /** @param {KeyboardEvent} e */
    key(e) {
      switch (e.key) {
        case 'ArrowLeft': nudge(-1, 0, size(e), 'keyboard'); return true;
        case 'ArrowRight': nudge(1, 0, size(e), 'keyboard'); return true;
        case 'ArrowUp': nudge(0, -1, size(e), 'keyboard'); return true;
        case 'ArrowDown': nudge(0, 1, size(e), 'keyboard'); return true;
        case 'Home': nudge(-1, 0, 'jump', 'keyboard'); return true;
        case 'End': nudge(1, 0, 'jump', 'keyboard'); return true;
        case 'PageUp': nudge(0, -1, 'jump', 'keyboard'); return true;
        case 'PageDown': nudge(0, 1, 'jump', 'keyboard'); return true;
        case 'Delete': case 'Backspace':
          if (chosen) drawing.unmark(chosen.id);
          say(words());
          return true;
      }
      return false;
    },
    drop() {
      page.setMode(null);
      return true;
    },
    leave() {
      chosen = null;
      held = dragged = null;
      show();
      say(words());
    },
  };

  /** @param {Asked} a */
  const choose = (a) => {
    if (!page.drawable() || page.busy()) return;
    if (chosen === a) {
      page.setMode(null);
      return;
    }
    if (page.mode() !== mode) page.setMode(mode);
    chosen = a;
    show();
    say(words());
  };

  /** @returns {{x: number, y: number} | null} */
  const focus = () => {
    const at = markOf(chosen)?.at;
    return at ? { x: at[0], y: at[1] } : null;
  };

  asked.forEach((a, i) => choosers[i].addEventListener('click', () => {
    choose(a);
    // The arrow keys work on the board.
    paper.wet.canvas.focus({ preventScroll: true });
  }));
  onHold(moves.left, () => nudge(-1, 0, step, 'twotap'));
  onHold(moves.right, () => nudge(1, 0, step, 'twotap'));
  onHold(moves.up, () => nudge(0, -1, step, 'twotap'));
  onHold(moves.down, () => nudge(0, 1, step, 'twotap'));
  stepper.addEventListener('click', () => {
    const steps = /** @type {Step[]} */ (['plain', 'coarse', 'jump', 'fine']);
    step = steps[(steps.indexOf(step) + 1) % steps.length];
    stepper.textContent = `${MOVE[step]} mm`;
  });
  smaller.addEventListener('click', () => zoom.smaller());
  larger.addEventListener('click', () => zoom.larger(focus()));
  home.addEventListener('click', () => zoom.home());

  page.plain = {
    tap() {
      say(words());
      return true;
    },
    key(e) {
      if (e.altKey) return false;
      switch (e.key) {
        case '-': zoom.smaller(); return true;
        case '+': case '=': zoom.larger(focus()); return true;
        case '0': zoom.home(); return true;
      }
      const a = asked[Number(e.key) - 1];
      if (a) choose(a);
      return !!a;
    },
    blank: () => (drawing.marks.length ? '' : `Nothing is marked yet. ${words()}`),
    question() {
      const left = asked.filter((a) => !markOf(a)).map((a) => a.name.toLowerCase());
      return left.length ? `Not marked yet: ${left.join(', ')}. To leave it out, hand in once more.` : '';
    },
  };
  page.watch(show);
  show();
  say(words());
}
