// @ts-check
// A hint to rest: soft after 20 minutes of practice, stronger after 45.

const KEY = 'boxwright.practice';
const MINUTE = 60_000;
const SOFT = 20 * MINUTE;
const STRONG = 45 * MINUTE;
/** A pause of this length is a rest, and the count starts anew. */
const REST = 15 * MINUTE;
/** Who has done nothing for this long is not practising. */
const IDLE = MINUTE;
const TICK = 15_000;

/**
 * Practice so far: ms of it, when it was last counted, and how long it was
 * when a hint was last closed.
 * @typedef {{ms: number, last: number, closed: number}} Practice
 */

/**
 * Counts the time from the last count to now as practice.
 * @param {Practice | null} p
 * @param {number} now ms
 * @param {number} active when something was last done, ms
 * @returns {Practice}
 */
export function counted(p, now, active) {
  if (!p || now - p.last > REST || now < p.last) return { ms: 0, last: now, closed: 0 };
  if (now - active > IDLE) return p; // last stays, so that a long pause is seen as one
  return { ...p, ms: p.ms + Math.min(now - p.last, IDLE + TICK), last: now };
}

/** Which hint is due. @param {Practice} p */
export function due(p) {
  if (p.ms >= STRONG && p.closed < STRONG) return 'strong';
  return p.ms >= SOFT && p.closed < SOFT ? 'soft' : '';
}

/** @returns {Practice | null} */
function read() {
  try {
    const p = JSON.parse(localStorage.getItem(KEY) ?? 'null');
    return p && [p.ms, p.last, p.closed].every(Number.isFinite) ? p : null;
  } catch {
    return null;
  }
}

/** @param {Practice} p */
function write(p) {
  try {
    localStorage.setItem(KEY, JSON.stringify(p));
  } catch { /* then each page counts for itself, which is less than 20 minutes */ }
}

/**
 * Shows the hints, never while a line is being drawn.
 * @param {() => boolean} busy
 */
export function useRests(busy) {
  const hint = document.getElementById('rest');
  if (!hint) return;
  let active = Date.now();
  for (const name of ['pointermove', 'pointerdown', 'keydown']) {
    addEventListener(name, () => (active = Date.now()), { passive: true });
  }
  const tick = () => {
    if (busy() || document.visibilityState !== 'visible') return;
    const p = counted(read(), Date.now(), active);
    write(p);
    const which = due(p);
    if (!which) return;
    for (const text of hint.querySelectorAll('[data-rest]')) {
      /** @type {HTMLElement} */ (text).hidden = text.getAttribute('data-rest') !== which;
    }
    hint.hidden = false;
  };
  document.getElementById('rest-close')?.addEventListener('click', () => {
    hint.hidden = true;
    const p = read();
    if (p) write({ ...p, closed: p.ms });
  });
  setInterval(tick, TICK);
  tick();
}
