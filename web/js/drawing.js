// @ts-check
// The drawing on this page: its lines, marks and steps, kept on the device
// after each of them.
import * as history from './history.js';
import { MAX_STROKES, restored } from './stroke.js';

/** @typedef {import('./stroke.js').Stroke} Stroke */
/** @typedef {import('./mark.js').Mark} Mark */
/** @typedef {import('./vault.js').Draft} Draft */

export class Drawing {
  /**
   * @param {string} exercise
   * @param {{now: number, clock: number}} shown when the sheet was shown: in
   *   milliseconds since 1970, and on the clock that pointer events tell
   */
  constructor(exercise, shown) {
    this.exercise = exercise;
    this.startedAt = shown.now;
    this.zero = shown.clock;
    /** @type {history.History} */
    this.history = history.blank;
    /** Called after every change.
     * @type {() => void} */
    this.onChange = () => {};
  }

  get strokes() {
    return this.history.strokes;
  }

  get marks() {
    return this.history.marks;
  }

  get empty() {
    return this.strokes.length === 0 && this.marks.length === 0;
  }

  get full() {
    return this.strokes.length >= MAX_STROKES;
  }

  /** Milliseconds since the sheet was shown.
   * @param {number} clock */
  time(clock) {
    return Math.max(0, clock - this.zero);
  }

  /** Adds a line; a full sheet takes none and answers false.
   * @param {Stroke} s */
  add(s) {
    if (this.full) return false;
    return this.become(history.added(this.history, s));
  }

  /** Sets or moves a mark; see history.marked.
   * @param {Mark} m @param {boolean} [nudge] */
  mark(m, nudge) {
    return this.become(history.marked(this.history, m, nudge));
  }

  /** Takes a mark away. @param {string} key */
  unmark(key) {
    return this.become(history.unmarked(this.history, key));
  }

  undo() {
    return this.become(history.undo(this.history));
  }

  redo() {
    return this.become(history.redo(this.history));
  }

  clear() {
    return this.become(history.cleared(this.history));
  }

  /** @param {history.History} h */
  become(h) {
    if (h === this.history) return false;
    this.history = h;
    this.onChange();
    return true;
  }

  /** @param {number} clock @returns {Draft} */
  draft(clock) {
    const { done, undone } = this.history;
    return { exercise: this.exercise, startedAt: this.startedAt, shown: this.time(clock), done, undone };
  }

  /** Goes on with a draft; lines drawn already come after its own. The time
   * while the page was closed does not count as shown.
   * @param {Draft} d @param {number} clock */
  resume(d, clock) {
    /** @param {any} step */
    const step = (step) => {
      if ('add' in step) return { add: restored(step.add) };
      return 'clear' in step ? { ...step, clear: step.clear.map(restored) } : step;
    };
    const { done, undone } = this.history;
    this.startedAt = d.startedAt;
    this.zero = Math.min(this.zero, clock - d.shown);
    this.become(history.fromSteps([...d.done.map(step), ...done], done.length ? undone : d.undone.map(step)));
  }
}
