// @ts-check
// What was drawn and marked, step by step: undo, redo, and a clear that can
// be undone. Histories are values: each function returns a new one.
import { keyOf, withMark } from './mark.js';

/** @typedef {import('./stroke.js').Stroke} Stroke */
/** @typedef {import('./mark.js').Mark} Mark */
/**
 * A step: a line was added; a mark was set, moved or taken away; or the sheet
 * was cleared of lines and marks (a clear without marks was kept by a page
 * that knew none). nudge: one of many small moves, which are one step.
 * @typedef {{add: Stroke} | {mark: string, to: Mark | null, from: Mark | null, nudge?: boolean} | {clear: Stroke[], marks?: Mark[]}} Step
 */
/** @typedef {{strokes: readonly Stroke[], marks: readonly Mark[], done: readonly Step[], undone: readonly Step[]}} History */
/** @typedef {Pick<History, 'strokes' | 'marks'>} Drawn */

/** @type {History} */
export const blank = { strokes: [], marks: [], done: [], undone: [] };

/** @param {Drawn} d @param {Step} step @returns {Drawn} */
function forth({ strokes, marks }, step) {
  if ('add' in step) return { strokes: [...strokes, step.add], marks };
  if ('clear' in step) return { strokes: [], marks: [] };
  return { strokes, marks: withMark(marks, step.mark, step.to) };
}

/** @param {Drawn} d @param {Step} step @returns {Drawn} */
function back({ strokes, marks }, step) {
  if ('add' in step) return { strokes: strokes.slice(0, -1), marks };
  if ('clear' in step) return { strokes: step.clear, marks: step.marks ?? [] };
  return { strokes, marks: withMark(marks, step.mark, step.from) };
}

/**
 * @param {History} h
 * @param {Step} step
 * @returns {History}
 */
const take = (h, step) => ({ ...forth(h, step), done: [...h.done, step], undone: [] });

/** @param {History} h @param {Stroke} s @returns {History} */
export const added = (h, s) => take(h, { add: s });

/**
 * Sets or moves a mark. Nudges of one mark that follow one another are taken
 * back together.
 * @param {History} h
 * @param {Mark} to
 * @param {boolean} [nudge]
 * @returns {History}
 */
export function marked(h, to, nudge = false) {
  const mark = keyOf(to);
  const last = h.done.at(-1);
  if (nudge && last && 'mark' in last && last.nudge && last.mark === mark && h.undone.length === 0) {
    return take({ ...h, done: h.done.slice(0, -1) }, { ...last, to });
  }
  const from = h.marks.find((m) => keyOf(m) === mark) ?? null;
  return take(h, nudge ? { mark, to, from, nudge } : { mark, to, from });
}

/** Takes a mark away. @param {History} h @param {string} mark its key @returns {History} */
export function unmarked(h, mark) {
  const from = h.marks.find((m) => keyOf(m) === mark);
  return from ? take(h, { mark, to: null, from }) : h;
}

/** Clears the sheet; one with nothing on it stays as it is.
 * @param {History} h @returns {History} */
export const cleared = (h) =>
  (h.strokes.length || h.marks.length ? take(h, { clear: [...h.strokes], marks: [...h.marks] }) : h);

/** @param {History} h @returns {History} */
export function undo(h) {
  const step = h.done.at(-1);
  if (!step) return h;
  return { ...back(h, step), done: h.done.slice(0, -1), undone: [...h.undone, step] };
}

/** @param {History} h @returns {History} */
export function redo(h) {
  const step = h.undone.at(-1);
  if (!step) return h;
  return { ...forth(h, step), done: [...h.done, step], undone: h.undone.slice(0, -1) };
}

/**
 * Builds a history from its steps.
 * @param {readonly Step[]} done
 * @param {readonly Step[]} undone
 * @returns {History}
 */
export function fromSteps(done, undone) {
  /** @type {Drawn} */
  let drawn = blank;
  for (const step of done) drawn = forth(drawn, step);
  return { strokes: drawn.strokes, marks: drawn.marks, done, undone };
}
