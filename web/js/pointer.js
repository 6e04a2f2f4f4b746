// @ts-check
// Which pointer draws. One at a time: pen, finger or mouse. What the chosen
// one does goes to a tool, sample by sample, in millimetres on the sheet.
import { reach } from './stroke.js';

/** @typedef {import('./paper.js').Paper} Paper */
/**
 * The pointer as it is now. One object, used again for every sample: a tool
 * that wants to keep something copies the numbers. x and y are millimetres on
 * the sheet, t milliseconds since the sheet was shown, p the pressure; far is
 * the greatest distance from where it was set down, in CSS pixels, ms how
 * long ago that was.
 * @typedef {{type: 'pen' | 'touch' | 'mouse', x: number, y: number, t: number, p: number, far: number, ms: number}} Contact
 */
/**
 * What a pointer can hold. down begins a gesture, up ends it, cancel takes it
 * back; ahead follows the samples of each event and says where the pointer
 * will probably be, which may be painted until the next event. hover: the
 * pointer moves without touching. taps: taps mean something to it, however
 * short they are.
 * @typedef {{
 *   down(c: Contact): void, sample(c: Contact): void, up(c: Contact): void, cancel(): void,
 *   ahead?(events: readonly PointerEvent[]): void, hover?(c: Contact): void, taps?(): boolean,
 * }} Tool
 */

/** After a pen was last seen, fingers do not draw for this long: the hand
 * that holds the pen lies on the sheet. */
const PALM_MS = 1000;
/** A touch that is shorter, or reaches less far, was not meant. */
export const TOUCH_MS = 40;
export const TOUCH_PX = 8;

/**
 * Lets pointers draw on the board.
 * @param {HTMLElement} board
 * @param {Paper} paper
 * @param {{tool: () => Tool, ready: () => boolean, clock: (timeStamp: number) => number, onDown?: () => void}} use
 *   tool: who gets the next gesture; ready: whether there is drawing at all
 *   now; clock: from an event's time stamp to milliseconds since the sheet
 *   was shown
 * @returns {{busy: () => boolean, cancel: () => boolean}}
 */
export function listen(board, paper, use) {
  /** @type {Tool | null} */
  let tool = null; // not null: a gesture is going on
  let id = -1;
  let penAt = -Infinity; // when a pen was last seen near the sheet
  let downX = 0, downY = 0, downAt = 0;
  /** @type {Contact} */
  const contact = { type: 'mouse', x: 0, y: 0, t: 0, p: 0, far: 0, ms: 0 };

  /** @param {PointerEvent} e */
  const read = (e) => {
    contact.x = paper.xAt(e.clientX);
    contact.y = paper.yAt(e.clientY);
    reach(contact, paper.sheet);
    contact.t = use.clock(e.timeStamp);
    contact.p = e.pressure;
    contact.far = Math.max(contact.far, Math.hypot(e.clientX - downX, e.clientY - downY));
    contact.ms = e.timeStamp - downAt;
  };

  const cancel = () => {
    if (!tool) return false;
    const t = tool;
    tool = null;
    t.cancel();
    return true;
  };

  /** @param {PointerEvent} e */
  const down = (e) => {
    if (!use.ready()) return;
    const { pointerType: type } = e;
    if (type !== 'pen' && type !== 'touch' && type !== 'mouse') return;
    // The pen goes before a finger that was there first: that was the palm.
    if (type === 'pen' && tool && contact.type === 'touch') cancel();
    if (type === 'pen') penAt = e.timeStamp;
    e.preventDefault();
    if (tool || !e.isPrimary || e.button !== 0) return;
    if (type === 'touch' && e.timeStamp - penAt < PALM_MS) return;
    use.onDown?.();
    tool = use.tool();
    id = e.pointerId;
    contact.type = type;
    contact.far = 0;
    downX = e.clientX;
    downY = e.clientY;
    downAt = e.timeStamp;
    try {
      board.setPointerCapture(id);
    } catch { /* the pointer has gone again; its end will be told */ }
    read(e);
    tool.down(contact);
  };

  /** @param {PointerEvent} e */
  const move = (e) => {
    if (e.pointerType === 'pen') penAt = e.timeStamp;
    if (!tool) {
      if (e.pointerType === 'touch' || !use.ready()) return;
      const hovered = use.tool();
      if (!hovered.hover) return;
      read(e);
      hovered.hover(contact);
      return;
    }
    if (e.pointerId !== id) return;
    // With another button still down, a mouse tells no end of its own.
    if (contact.type === 'mouse' && !(e.buttons & 1)) return up(e);
    // The events that the browser put together into this one, or, where it
    // does not tell them (outside secure contexts), this one; never both.
    const all = e.getCoalescedEvents ? e.getCoalescedEvents() : [];
    if (all.length > 0) {
      for (let i = 0; i < all.length; i++) {
        read(all[i]);
        tool.sample(contact);
      }
    } else {
      read(e);
      tool.sample(contact);
    }
    tool.ahead?.(e.getPredictedEvents ? e.getPredictedEvents() : []);
  };

  /** @param {PointerEvent} e */
  const up = (e) => {
    if (e.pointerType === 'pen') penAt = e.timeStamp;
    if (!tool || e.pointerId !== id) return;
    const t = tool;
    const { p } = contact;
    tool = null;
    read(e);
    contact.p = p; // at the end it is always reported as none
    const tap = contact.far < TOUCH_PX && t.taps?.();
    const slip = contact.type === 'touch' && contact.ms < TOUCH_MS && !tap;
    if (slip) t.cancel();
    else t.up(contact);
  };

  /** @param {PointerEvent} e */
  const lost = (e) => {
    if (e.pointerId === id) cancel();
  };

  board.addEventListener('pointerdown', down);
  board.addEventListener('pointermove', move);
  board.addEventListener('pointerup', up);
  board.addEventListener('pointercancel', lost);
  board.addEventListener('lostpointercapture', lost);
  stillUnder(board, use.ready, () => tool !== null);
  return { busy: () => tool !== null, cancel };
}

/**
 * Keeps the page from answering the pen itself: with a menu, a selection, a
 * magnifier, a zoom.
 * @param {HTMLElement} board
 * @param {() => boolean} ready
 * @param {() => boolean} busy
 */
function stillUnder(board, ready, busy) {
  /** @param {Event} e */
  const stop = (e) => {
    if (ready() && e.cancelable) e.preventDefault();
  };
  for (const name of ['contextmenu', 'selectstart', 'dragstart', 'dblclick', 'gesturestart']) {
    board.addEventListener(name, stop);
  }
  for (const name of ['touchstart', 'touchmove', 'touchend']) {
    board.addEventListener(name, stop, { passive: false });
  }
  board.addEventListener('wheel', (e) => {
    if (busy()) e.preventDefault();
  }, { passive: false });
}
