// @ts-check
// Handing in: the way of a drawing from the sheet to its redline.
import { attemptJSON } from './attempt-json.js';
import * as outbox from './outbox.js';
import * as vault from './vault.js';
import { uuid7 } from './uuid.js';

/** @typedef {import('./vault.js').Entry} Entry */
/** @typedef {import('./outbox.js').Outcome} Outcome */
/** @typedef {import('./drawing.js').Drawing} Drawing */

const KEPT = 'Kept on this device. It will be handed in when the connection is back.';
const KEPT_HERE = 'There is no connection, and this browser keeps nothing for later. ' +
  'Leave this page open: it will be handed in when the connection is back.';
const AWAITED = 'Handed in. The redline comes when the connection is back.';
const LATE = 'The connection is back: this drawing has been handed in, and this is its redline.';
const RETRY_MS = 3000;

/**
 * @param {HTMLElement} desk whose data-state tells how far things are:
 *   drawing, handing, kept or redline
 * @param {Drawing} drawing
 * @param {{pxPerMM: () => number, say: (words: string) => void, blank: () => string, show: (attempt: string, html: string, words: string) => void, onState: () => void}} use
 * @returns {{handIn(): Promise<void>, resume(): Promise<void>}}
 */
export function makeHandIn(desk, drawing, use) {
  /** @type {Entry | null} */
  let entry = null;
  let stored = true;
  let waited = false; // for the connection

  /** @param {string} s */
  const state = (s) => {
    desk.dataset.state = s;
    use.onState();
  };

  /** @param {Outcome} outcome */
  const meet = (outcome) => {
    const e = entry;
    if (!e || desk.dataset.state === 'redline') return;
    switch (outcome.kind) {
      case 'done':
        entry = null;
        void showRedline(e.attempt);
        return;
      case 'later':
        waited = true;
        use.say(stored ? KEPT : KEPT_HERE);
        state('kept');
        return;
      case 'refused':
        // The draft stays, and may be changed and handed in anew.
        entry = null;
        void vault.withdraw(e).then(() => vault.keepDraft(drawing.draft(performance.now()))).catch(() => {});
        use.say(`This was not taken: ${outcome.detail} The drawing is kept on this device.`);
        state('drawing');
    }
  };

  outbox.onSettled((e, outcome) => {
    if (entry && e.attempt === entry.attempt) return meet(outcome);
    // Handed in by an earlier page, perhaps before this one was listening.
    if (e.exercise === drawing.exercise && outcome.kind === 'done' &&
      desk.dataset.state === 'drawing' && drawing.empty) {
      waited = true;
      void showRedline(e.attempt);
    }
  });

  /** @param {string} attempt */
  const showRedline = async (attempt) => {
    for (;;) {
      try {
        const r = await fetch(`/attempts/${attempt}/redline`, { headers: { Accept: 'text/html' } });
        if (!r.ok) throw new Error(`status ${r.status}`);
        use.show(attempt, await r.text(), waited ? LATE : '');
        return;
      } catch {
        use.say(AWAITED);
        state('kept');
        await untilHope(RETRY_MS);
      }
    }
  };

  return {
    async handIn() {
      if (desk.dataset.state === 'kept') {
        void outbox.tryNow();
        return;
      }
      if (desk.dataset.state !== 'drawing') return;
      const blank = use.blank();
      if (blank) {
        use.say(blank);
        return;
      }
      const now = Date.now();
      const attempt = uuid7(now);
      const body = attemptJSON({
        attempt, exercise: drawing.exercise, startedAt: drawing.startedAt,
        pxPerMM: use.pxPerMM(), strokes: drawing.strokes, marks: drawing.marks,
      });
      const mine = { attempt, exercise: drawing.exercise, submit: desk.dataset.submit ?? '', body, made: now };
      entry = mine;
      use.say('Handing in…');
      state('handing');
      const result = await outbox.handIn(mine, drawing.draft(performance.now()));
      stored = result.stored;
      // What was settled has been told already.
      if (entry === mine && result.outcome.kind === 'later') meet(result.outcome);
    },

    /** Goes on where an earlier page of this sheet left off. */
    async resume() {
      // In this order: a drawing that is settled meanwhile then shows as
      // waiting without a draft, never as a draft that nobody handed in.
      const [entries, draft] = await Promise.all([vault.entries(), vault.draft(drawing.exercise)]);
      if (!draft) return;
      const waiting = entries.find((e) => e.attempt === draft.attempt);
      if (waiting && drawing.history.done.length === 0) {
        entry = waiting;
        desk.dataset.state = 'kept'; // before the lines come, so that the draft keeps its mark
      }
      drawing.resume(draft, performance.now());
      if (!entry) return;
      const { refused } = entry;
      meet(refused === undefined ? { kind: 'later', waitMS: 0 } : { kind: 'refused', detail: refused });
    },
  };
}

/**
 * Waits for a while, or until the connection comes back.
 * @param {number} ms
 * @returns {Promise<void>}
 */
function untilHope(ms) {
  return new Promise((resolve) => {
    const go = () => {
      removeEventListener('online', go);
      clearTimeout(timer);
      resolve();
    };
    const timer = setTimeout(go, ms);
    addEventListener('online', go);
  });
}
