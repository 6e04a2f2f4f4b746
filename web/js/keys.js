// @ts-check
// Drawing without dragging: with the keyboard, or with the buttons of the
// key bar; and the page's other keys. Single keys work only while the board
// has the focus.
import * as line from './line.js';
import { ring } from './ruler.js';
import { reach, straight } from './stroke.js';
import { onHold } from './hold.js';

/** @typedef {typeof import('./sheet.js').sheet} Page */
/** @typedef {line.Line} Line */
/** @typedef {line.Step} Step */

const LABEL = 'Drawing board. N takes the next start, left and right arrow turn the line, up and down make it ' +
  'longer and shorter, Enter keeps it, Escape drops it, M moves the start, U undoes, R is the ruler, ' +
  'C construction lines. Enter without a line hands in.';

/** @param {Page} page */
export function useKeys(page) {
  const canvas = page.paper.wet.canvas;
  canvas.removeAttribute('aria-hidden');
  canvas.setAttribute('role', 'application');
  if (!canvas.hasAttribute('aria-label')) canvas.setAttribute('aria-label', LABEL);
  canvas.tabIndex = 0;
  const liner = makeLiner(page);
  useNudges(liner);
  document.addEventListener('keydown', (e) => onKey(e, page, liner));
  // Single keys work from the start, unless the learner is already elsewhere.
  // The frame waits until a key is pressed.
  if (page.drawable() && (!document.activeElement || document.activeElement === document.body)) {
    page.desk.dataset.by = 'load';
    canvas.focus({ preventScroll: true });
  }
}

/**
 * The line that is being made, on the page.
 * @param {Page} page
 */
function makeLiner(page) {
  const bar = document.getElementById('keybar');
  const said = document.getElementById('keysay');
  const button = document.getElementById('keys');
  /** @type {Line | null} */
  let now = null; // null: not drawing this way
  let moving = false; // the arrows move the start
  let asked = false; // Enter was pressed without a line

  /** @param {string} words */
  const speak = (words) => {
    if (!said) return;
    said.textContent = words;
    const { x, y, angle, length, live } = now ?? line.startedAt({ x: 0, y: 0 });
    Object.assign(said.dataset, { x, y, angle, length, live });
  };

  const show = () => {
    const l = now;
    if (!l) return;
    page.paper.provisional((ctx, look) => {
      ring(ctx, look.mark, l.x, l.y, page.paper.pxPerMM);
      if (l.live) page.paper.aheadBrush.line(look, page.role(), l, line.end(l));
    });
  };

  /** @param {Line} l @param {string} [words] */
  const become = (l, words) => {
    const at = { x: l.x, y: l.y };
    reach(at, page.paper.sheet);
    now = { ...l, ...at };
    asked = false;
    show();
    speak(words ?? line.words(now));
  };

  /** Begins this way of drawing, if it has not begun; answers whether it had. */
  const begun = () => {
    if (now) return true;
    if (!page.drawable() || page.busy()) return false;
    page.setMode(mode);
    if (bar) bar.hidden = false;
    button?.setAttribute('aria-expanded', 'true');
    const { width, height } = page.paper.sheet;
    now = line.startedAt({ x: width / 2, y: height / 2 });
    moving = false;
    next(0);
    return false;
  };

  /** Takes another start: the nth one after the present one.
   * @param {number} n */
  const next = (n) => {
    if (!now) return;
    const l = now;
    const all = line.starts(page.exercise, page.drawing.strokes);
    if (all.length === 0) return become(l, `Start: ${line.place(l)}.`);
    const here = all.findIndex((s) => Math.hypot(s.x - l.x, s.y - l.y) < 1);
    const i = here < 0 ? 0 : (here + n + all.length) % all.length;
    become(line.from(l, all[i]), line.startWords(all[i], i, all.length));
  };

  const mode = {
    /** @param {import('./pointer.js').Contact} c */
    tap(c) {
      if (now) become(line.endingAt(now, c));
      return true;
    },
    show,
    drop() {
      if (!now) return false;
      if (now.live || moving) {
        moving = false;
        become({ ...now, live: false, tapped: false }, 'Dropped.');
      } else page.setMode(null);
      return true;
    },
    pending: () => (now?.live ? 'One line is neither kept nor dropped yet.' : ''),
    leave() {
      now = null;
      page.paper.provisional(null);
      if (bar?.contains(document.activeElement)) button?.focus();
      if (bar) bar.hidden = true;
      button?.setAttribute('aria-expanded', 'false');
    },
  };

  button?.addEventListener('click', () => {
    if (page.plain.keys) page.plain.keys();
    else if (begun()) page.setMode(null);
  });

  return {
    active: () => now !== null,
    drop: mode.drop,
    speak,
    /** @param {number} n */
    start(n) {
      if (begun()) next(n);
    },
    /** @param {number} side -1 left, 1 right @param {Step} step */
    turn(side, step) {
      begun();
      if (!now) return;
      if (moving) become(line.moved(now, side * line.STRETCH[step], 0), `Start: ${line.place(now)}.`);
      else become(line.turned(now, side * line.TURN[step]));
    },
    /** @param {number} side 1 longer, -1 shorter @param {Step} step */
    stretch(side, step) {
      begun();
      if (!now) return;
      if (moving) become(line.moved(now, 0, -side * line.STRETCH[step]), `Start: ${line.place(now)}.`);
      else become(line.stretched(now, side * line.STRETCH[step]));
    },
    move() {
      begun();
      if (!now) return;
      moving = !moving;
      become({ ...now, live: false, tapped: false }, moving ? 'The arrows move the start.' : `Start: ${line.place(now)}.`);
    },
    /** Keeps the line and starts the next one at its end, or at the same
     * start again. Without a line it hands in, when asked twice.
     * @param {boolean} stay */
    keep(stay) {
      if (!now) return;
      if (moving) {
        moving = false;
        become(now, `Start: ${line.place(now)}.`);
        return;
      }
      if (!now.live) {
        if (asked) {
          page.handIn();
          return;
        }
        speak(page.drawing.strokes.length ? 'There is no line to keep. Enter again hands in.' : 'There is no line to keep.');
        asked = page.drawing.strokes.length > 0;
        return;
      }
      const t = page.drawing.time(performance.now());
      const end = line.end(now);
      reach(end, page.paper.sheet);
      page.finish(straight(page.role(), now.tapped ? 'twotap' : 'keyboard', { ...now, t }, { ...end, t }));
      become(line.from({ ...now, tapped: false }, stay ? now : end), `Kept: ${line.words(now)}`);
    },
  };
}

/** @typedef {ReturnType<typeof makeLiner>} Liner */

/**
 * The key bar's buttons. The step button changes how far the others go.
 * @param {Liner} liner
 */
function useNudges(liner) {
  /** @type {Step[]} */
  const steps = ['plain', 'coarse', 'fine'];
  let step = 0;
  /** @type {Record<string, () => void>} */
  const does = {
    'turn-left': () => liner.turn(-1, steps[step]),
    'turn-right': () => liner.turn(1, steps[step]),
    shorter: () => liner.stretch(-1, steps[step]),
    longer: () => liner.stretch(1, steps[step]),
  };
  /** @type {Record<string, () => void>} */
  const once = {
    'start-next': () => liner.start(1),
    keep: () => liner.keep(false),
    drop: () => liner.drop(),
  };
  for (const b of document.querySelectorAll('#keybar [data-nudge]')) {
    const name = b.getAttribute('data-nudge') ?? '';
    if (does[name]) onHold(/** @type {HTMLElement} */ (b), does[name]);
    if (once[name]) b.addEventListener('click', once[name]);
    if (name === 'step') {
      b.addEventListener('click', () => {
        step = (step + 1) % steps.length;
        liner.speak(`Steps of ${line.TURN[steps[step]]}° and ${line.STRETCH[steps[step]]} mm.`);
      });
    }
  }
}

/**
 * @param {KeyboardEvent} e
 * @param {Page} page
 * @param {Liner} liner
 */
function onKey(e, page, liner) {
  if (e.defaultPrevented || e.isComposing) return;
  const done = act(e, page, liner);
  if (done) e.preventDefault();
}

/**
 * Does what a key says and answers whether it said anything.
 * @param {KeyboardEvent} e
 * @param {Page} page
 * @param {Liner} liner
 */
function act(e, page, liner) {
  const at = document.activeElement;
  const focused = at === page.paper.wet.canvas || at === page.desk;
  if (e.key === 'Escape') {
    if (page.cancel()) return true;
    const mine = focused || !!page.desk.contains(at);
    return mine && page.drawable() && (page.mode()?.drop() ?? page.plain.drop?.() ?? false);
  }
  if (!page.drawable()) {
    if (!focused || e.key !== 'Enter' || page.desk.dataset.state !== 'kept') return false;
    page.handIn();
    return true;
  }
  const key = e.key.length === 1 ? e.key.toLowerCase() : e.key;
  if (e.ctrlKey || e.metaKey) {
    if (e.altKey) return false;
    if (key === 'z' && !e.shiftKey) page.undo();
    else if (key === 'y' || key === 'z') page.redo();
    else if (key === 'Enter' && focused) page.handIn();
    else return false;
    return true;
  }
  if (!focused || page.busy()) return false;
  if (page.mode()?.key?.(e) || page.plain.key?.(e)) return true;
  return arrow(e, liner) || (!e.altKey && letter(key, e.shiftKey, page, liner));
}

/** @param {KeyboardEvent} e @param {Liner} liner */
function arrow(e, liner) {
  const step = e.shiftKey ? 'coarse' : e.altKey ? 'fine' : 'plain';
  switch (e.key) {
    case 'ArrowLeft': liner.turn(-1, step); return true;
    case 'ArrowRight': liner.turn(1, step); return true;
    case 'ArrowUp': liner.stretch(1, step); return true;
    case 'ArrowDown': liner.stretch(-1, step); return true;
  }
  return false;
}

/** @param {string} key @param {boolean} shift @param {Page} page @param {Liner} liner */
function letter(key, shift, page, liner) {
  switch (key) {
    case 'n': liner.start(shift ? -1 : 1); return true;
    case 'm': liner.move(); return true;
    case 'u': shift ? page.redo() : page.undo(); return true;
    case 'r': page.toggleRuler(); return true;
    case 'c': page.toggleRole(); return true;
    case 'Enter': liner.active() ? liner.keep(shift) : page.handIn(); return true;
  }
  return false;
}
