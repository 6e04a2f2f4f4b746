// @ts-check
// Edges that break the rule: a tap marks one, a second tap takes the mark
// away. The arrow keys and the bar's buttons go from edge to edge.
import { edgeWords, nearest, shownEdges } from './edges.js';
import { makeBar, makeButton, makeRow } from './markbar.js';
import { makeMarkView } from './markview.js';
import { STRAY, keyOf, strayEdge } from './mark.js';

/** @typedef {typeof import('./sheet.js').sheet} Page */
/** @typedef {import('./stroke.js').Pointer} Pointer */
/** @typedef {import('./markview.js').Item} Item */

/** How far beside an edge a tap still means it, in CSS pixels. */
const HIT_PX = 26;

const LABEL = 'Drawing board. The arrow keys go from edge to edge, Enter or Space marks one that breaks the rule ' +
  'and takes the mark away again. N draws a construction line, U undoes, R is the ruler, control and Enter hand in.';

/** @param {Page} page */
export function useStrays(page) {
  const edges = shownEdges(page.exercise);
  const view = makeMarkView(page.paper);
  let current = -1; // the edge that the keys are at

  const buttons = {
    back: makeButton({ id: 'edge-back', words: 'Previous edge', path: 'm14 6-6 6 6 6' }),
    on: makeButton({ id: 'edge-next', words: 'Next edge', path: 'm10 6 6 6-6 6' }),
    mark: makeButton({ id: 'edge-mark', words: 'Breaks the rule' }),
  };
  const { bar, say, leave } = makeBar('Edges', makeRow('edges', buttons.back, buttons.on, buttons.mark));
  bar.hidden = true;
  const opener = document.getElementById('keys');
  opener?.setAttribute('aria-controls', 'markbar');
  page.paper.wet.canvas.setAttribute('aria-label', LABEL);

  /** @param {number} i */
  const isMarked = (i) => page.drawing.marks.some((m) => m.edge === edges[i].id);

  const words = () => {
    const n = page.drawing.marks.length;
    const marked = n === 0 ? 'No edge is marked.' : n === 1 ? '1 edge is marked.' : `${n} edges are marked.`;
    if (current < 0) return marked;
    const name = edgeWords(edges, current);
    return `${name[0].toUpperCase()}${name.slice(1)}: ${isMarked(current) ? 'marked, it breaks the rule' : 'not marked'}. ${marked}`;
  };

  const show = () => {
    if (page.desk.dataset.state === 'redline') {
      view.remove();
      leave();
      return;
    }
    /** @type {Item[]} */
    const items = [];
    edges.forEach((e, i) => {
      if (isMarked(i)) items.push({ kind: 'edge', a: e.a, b: e.b, look: 'stray' });
      if (i === current) items.push({ kind: 'edge', a: e.a, b: e.b, look: 'current' });
    });
    view.show(items);
    buttons.mark.disabled = current < 0 || !page.drawable();
    buttons.mark.setAttribute('aria-pressed', String(current >= 0 && isMarked(current)));
  };

  /** @param {number} i @param {Pointer} pointer */
  const toggle = (i, pointer) => {
    if (!page.drawable()) return;
    const mark = strayEdge(edges[i].id, pointer);
    if (isMarked(i)) page.drawing.unmark(keyOf(mark));
    else page.drawing.mark(mark);
    say(words());
  };

  /** @param {boolean} yes */
  const open = (yes) => {
    bar.hidden = !yes;
    opener?.setAttribute('aria-expanded', String(yes));
    if (!yes) current = -1;
    show();
    say(words());
  };

  /** @param {number} by */
  const go = (by) => {
    if (edges.length === 0) return;
    if (bar.hidden) open(true);
    current = current < 0 ? (by > 0 ? 0 : edges.length - 1) : (current + by + edges.length) % edges.length;
    show();
    say(words());
  };

  buttons.back.addEventListener('click', () => go(-1));
  buttons.on.addEventListener('click', () => go(1));
  buttons.mark.addEventListener('click', () => {
    if (current >= 0) toggle(current, 'twotap');
  });

  page.plain = {
    tap(c) {
      const e = nearest(c, edges, HIT_PX / page.paper.pxPerMM);
      if (!e) return false;
      if (current >= 0) current = edges.indexOf(e);
      toggle(edges.indexOf(e), c.type);
      return true;
    },
    key(e) {
      if (page.mode()) return false;
      switch (e.key) {
        case 'ArrowRight': case 'ArrowDown': go(1); return true;
        case 'ArrowLeft': case 'ArrowUp': go(-1); return true;
        case 'Enter': case ' ':
          if (current < 0) return false;
          toggle(current, 'keyboard');
          return true;
      }
      return false;
    },
    keys() {
      page.setMode(null);
      open(!!bar.hidden);
      if (bar.hidden) return;
      go(1);
      // The arrow keys work on the board.
      page.paper.wet.canvas.focus({ preventScroll: true });
    },
    drop() {
      if (bar.hidden) return false;
      const inside = bar.contains(document.activeElement);
      open(false);
      if (inside) opener?.focus();
      return true;
    },
    blank: () => '',
    question: () => (page.drawing.marks.some((m) => m.for === STRAY) ? ''
      : 'No edge is marked. Hand in as “none breaks the rule”? Then hand in once more.'),
  };
  page.watch(show);
  show();
}
