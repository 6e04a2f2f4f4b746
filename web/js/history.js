// @ts-check
// What was drawn, step by step: undo, redo, and a clear that can be undone.
// Histories are values: each function returns a new one.

/** @typedef {import('./stroke.js').Stroke} Stroke */
/**
 * A step: a line was added, or the sheet was cleared of lines.
 * @typedef {{add: Stroke} | {clear: Stroke[]}} Step
 */
/** @typedef {{strokes: readonly Stroke[], done: readonly Step[], undone: readonly Step[]}} History */

/** @type {History} */
export const blank = { strokes: [], done: [], undone: [] };

/** @param {readonly Stroke[]} strokes @param {Step} step */
const forth = (strokes, step) => ('add' in step ? [...strokes, step.add] : []);

/** @param {readonly Stroke[]} strokes @param {Step} step */
const back = (strokes, step) => ('add' in step ? strokes.slice(0, -1) : step.clear);

/**
 * @param {History} h
 * @param {Step} step
 * @returns {History}
 */
const take = (h, step) => ({ strokes: forth(h.strokes, step), done: [...h.done, step], undone: [] });

/** @param {History} h @param {Stroke} s @returns {History} */
export const added = (h, s) => take(h, { add: s });

/** Clears the sheet; a sheet without lines stays as it is.
 * @param {History} h @returns {History} */
export const cleared = (h) => (h.strokes.length ? take(h, { clear: [...h.strokes] }) : h);

/** @param {History} h @returns {History} */
export function undo(h) {
  const step = h.done.at(-1);
  if (!step) return h;
  return { strokes: back(h.strokes, step), done: h.done.slice(0, -1), undone: [...h.undone, step] };
}

/** @param {History} h @returns {History} */
export function redo(h) {
  const step = h.undone.at(-1);
  if (!step) return h;
  return { strokes: forth(h.strokes, step), done: [...h.done, step], undone: h.undone.slice(0, -1) };
}

/**
 * Builds a history from its steps.
 * @param {readonly Step[]} done
 * @param {readonly Step[]} undone
 * @returns {History}
 */
export function fromSteps(done, undone) {
  /** @type {readonly Stroke[]} */
  let strokes = [];
  for (const step of done) strokes = forth(strokes, step);
  return { strokes, done, undone };
}
