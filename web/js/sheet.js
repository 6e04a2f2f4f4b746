// @ts-check
// The drawing page. What drawing needs is set up first; everything else may
// fail without stopping the pen.
import { Drawing } from './drawing.js';
import { makeHandIn } from './handin.js';
import { Paper } from './paper.js';
import { makePen } from './pen.js';
import { listen } from './pointer.js';
import { say } from './status.js';
import * as vault from './vault.js';

/** @typedef {import('./stroke.js').Role} Role */
/** @typedef {import('./stroke.js').Stroke} Stroke */
/** @typedef {import('./pointer.js').Tool} Tool */
/** @typedef {import('./pointer.js').Contact} Contact */

/** @param {string} id */
const element = (id) => {
  const e = document.getElementById(id);
  if (!e) throw new Error(`the page has no #${id}`);
  return e;
};

/** @param {string} id @returns {HTMLButtonElement | null} */
const button = (id) => /** @type {HTMLButtonElement | null} */ (document.getElementById(id));

const desk = element('desk');
const board = element('board');
const exercise = JSON.parse(element('exercise').textContent ?? '');

addEventListener('error', () => {
  if (desk.dataset.state === 'drawing') say('Something on this page failed. The drawing is kept.');
});

const { width_mm: width, height_mm: height } = exercise.sheet;

const drawing = new Drawing(exercise.id, { now: Date.now(), clock: performance.now() });
const paper = new Paper(board, element('paper'), { width, height });

const asked = exercise.asked ?? {};
const asksMarks = !!(asked.stray || asked.horizon || asked.points?.length);
// Where marks are the answer, every line helps to find them.
/** @type {Role} */
let role = asksMarks ? 'construction' : 'edge';
const drawable = () => desk.dataset.state === 'drawing';

/** @param {Stroke} s */
const finish = (s) => {
  if (!drawing.add(s)) {
    say('This sheet holds 512 lines, and they are drawn. Undo one to draw another.');
    return;
  }
  say('');
};

/**
 * Another way to draw than the free hand. tool takes the pointer's gestures;
 * without one the pen does, and tap is offered what was too short for a line.
 * key is offered the keys that the board gets. show paints what is provisional
 * again; drop takes back what is under way and tells whether there was
 * something; pending says what has to be settled before the drawing is handed
 * in.
 * @typedef {{tool?: Tool, tap?: (c: Contact) => boolean, key?: (e: KeyboardEvent) => boolean, show?: () => void, drop: () => boolean, pending?: () => string, leave: () => void}} Mode
 */
/**
 * What a drill that asks for marks adds to the page, in every mode that does
 * not see to it itself. keys: what the Keys button opens. blank says why there
 * is nothing to hand in; question what is asked once before handing in.
 * @typedef {{tap?: (c: Contact) => boolean, key?: (e: KeyboardEvent) => boolean, drop?: () => boolean, keys?: () => void, blank: () => string, question: () => string}} Plain
 */
/** @type {Mode | null} */
let mode = null;
/** @type {(() => void)[]} */
const watchers = [];
let confirmed = ''; // the question that was asked before handing in

/** Tells the other parts that the drawing, the sheet's size or the page's
 * state has changed. */
function tell() {
  for (const f of watchers) f();
}

const pen = makePen(paper, {
  role: () => role,
  finish,
  tap: (c) => (mode?.tap ?? sheet.plain.tap)?.(c) ?? false,
  taps: () => !!(mode?.tap ?? sheet.plain.tap),
  lifted: () => mode?.show?.(),
});
const pointers = listen(board, paper, {
  tool: () => mode?.tool ?? pen,
  ready: drawable,
  clock: (t) => drawing.time(t),
  onDown: () => {
    // The frame that shows where the keys go is for those who use them.
    desk.dataset.by = 'pointer';
    paper.wet.canvas.focus({ preventScroll: true });
  },
});
addEventListener('keydown', () => delete desk.dataset.by, { capture: true });
paper.onResize = () => {
  pen.repaint();
  tell();
};

// Keeping: after each step, and once more where one was under way.
let keeping = false, stale = false, warned = false;
async function keep() {
  stale = true;
  if (keeping) return;
  keeping = true;
  try {
    while (stale) {
      stale = false;
      await vault.keepDraft(drawing.draft(performance.now()));
    }
    if (!warned && !(await vault.lasting())) throw new Error('nothing lasts');
  } catch {
    if (!warned) say('This browser keeps nothing for later: until it is handed in, the drawing lives in this page only.');
    warned = true;
  }
  keeping = false;
}

function buttons() {
  const on = drawable();
  /** @param {string} id @param {boolean} can */
  const allow = (id, can) => {
    const b = button(id);
    if (!b) return;
    // A button that takes the focus away with it would strand the keyboard.
    if (!can && document.activeElement === b) paper.wet.canvas.focus({ preventScroll: true });
    b.disabled = !can;
  };
  const { done, undone } = drawing.history;
  allow('undo', on && done.length > 0);
  allow('redo', on && undone.length > 0);
  allow('clear', on && !drawing.empty);
  allow('ruler', on);
  allow('role', on);
  allow('keys', on);
  const handin = button('handin');
  if (handin) handin.disabled = desk.dataset.state === 'handing';
}

drawing.onChange = () => {
  paper.show(drawing.strokes);
  if (!drawing.empty) document.querySelector('#panel .help')?.remove();
  if (confirmed) say('');
  confirmed = '';
  buttons();
  tell();
  if (drawable()) void keep();
};

const handing = makeHandIn(desk, drawing, {
  pxPerMM: () => paper.pxPerMM,
  say,
  blank: () => sheet.plain.blank(),
  show: (attempt, html, words) => {
    sheet.setMode(null);
    redline.then((m) => m.showRedline(desk, paper, attempt, html)).then(() => {
      tell();
      say(words);
    })
      .catch(() => location.replace(`/attempts/${attempt}`));
  },
  onState: () => {
    buttons();
    tell();
  },
});

/** What the other parts may do with the page. */
export const sheet = {
  desk, paper, drawing, exercise, drawable, say, pen,
  /** @type {Plain} */
  plain: {
    blank: () => (drawing.empty ? 'There is no line on the sheet yet.' : ''),
    question: () => '',
  },
  /** @param {() => void} f called when the drawing, the sheet's size or the page's state has changed */
  watch: (f) => void watchers.push(f),
  busy: pointers.busy,
  cancel: pointers.cancel,
  role: () => role,
  mode: () => mode,
  /** @param {Mode | null} m */
  setMode(m) {
    const old = mode;
    mode = m;
    old?.leave();
  },
  finish,
  undo: () => !pointers.busy() && drawable() && drawing.undo(),
  redo: () => !pointers.busy() && drawable() && drawing.redo(),
  clear: () => !pointers.busy() && drawable() && drawing.clear(),
  handIn() {
    if (pointers.busy()) return;
    const pending = drawable() && mode?.pending?.();
    const question = drawable() && !sheet.plain.blank() ? sheet.plain.question() : '';
    if (pending) say(pending);
    else if (question && question !== confirmed) {
      confirmed = question;
      say(question);
    } else void handing.handIn();
  },
  toggleRole: () => {
    if (asksMarks) return;
    role = role === 'edge' ? 'construction' : 'edge';
    button('role')?.setAttribute('aria-pressed', String(role === 'construction'));
    mode?.show?.();
  },
  toggleRuler: () => {},
};

button('undo')?.addEventListener('click', sheet.undo);
button('redo')?.addEventListener('click', sheet.redo);
button('clear')?.addEventListener('click', sheet.clear);
button('role')?.addEventListener('click', sheet.toggleRole);
button('handin')?.addEventListener('click', sheet.handIn);
if (asksMarks) button('role')?.remove();
buttons();
handing.resume().catch(() => {});

const failed = () => say('A part of this page could not be loaded. Load the page again.');
if (asked.stray) import('./stray.js').then((m) => m.useStrays(sheet)).catch(failed);
else if (asksMarks) import('./meet.js').then((m) => m.useMeet(sheet)).catch(failed);

// What drawing can do without.
const redline = import('./redline.js');
redline.catch(() => {});
import('./ruler.js').then((m) => m.useRuler(sheet)).catch(() => button('ruler')?.remove());
import('./keys.js').then((m) => m.useKeys(sheet)).catch(() => button('keys')?.remove());
import('./rest.js').then((m) => m.useRests(() => pointers.busy())).catch(() => {});
