// @ts-check
// Hands in what lies in the outbox, and tries again until it is taken. A
// drawing sent twice is stored once, for it keeps its id; so two pages that
// send at the same time, or a lost answer, do no harm.
import * as vault from './vault.js';

/** @typedef {import('./vault.js').Entry} Entry */
/**
 * done: the server has it. later: it could not be reached, or was busy.
 * refused: it was reached and does not take it, whatever one tries.
 * @typedef {{kind: 'done'} | {kind: 'later', waitMS: number} | {kind: 'refused', detail: string}} Outcome
 */

const ANSWER_MS = 30_000;
const FIRST_WAIT_MS = 2_000;
const LONGEST_WAIT_MS = 5 * 60_000;

/** @type {((entry: Entry, outcome: Outcome) => void)[]} */
const listeners = [];
/** What has been told, for those who ask late.
 * @type {[Entry, Outcome][]} */
const told = [];
/** Sendings that are going on, by attempt.
 * @type {Map<string, Promise<Outcome>>} */
const underway = new Map();
/** What this page handed in, for a store that fails.
 * @type {Map<string, Entry>} */
const own = new Map();
const pages = typeof BroadcastChannel === 'function' ? new BroadcastChannel('boxwright.outbox') : null;

/**
 * Calls f for every drawing that is done with or refused, in this page or
 * another one, before now or later.
 * @param {(entry: Entry, outcome: Outcome) => void} f
 */
export function onSettled(f) {
  listeners.push(f);
  for (const [entry, outcome] of told) f(entry, outcome);
}

/** @param {Entry} entry @param {Outcome} outcome */
function tell(entry, outcome) {
  own.delete(entry.attempt);
  told.push([entry, outcome]);
  for (const f of listeners) f(entry, outcome);
}

pages?.addEventListener('message', (e) => tell(e.data.entry, e.data.outcome));

/**
 * Hands in a drawing: first into the outbox, then to the server. What cannot
 * be sent now is sent later.
 * @param {Entry} entry
 * @param {import('./vault.js').Draft} draft
 * @returns {Promise<{outcome: Outcome, stored: boolean}>} stored: whether it
 *   outlives the page
 */
export async function handIn(entry, draft) {
  own.set(entry.attempt, entry);
  let stored = false;
  try {
    await vault.post(entry, draft);
    stored = await vault.lasting();
  } catch { /* it is still in this page's memory */ }
  const outcome = await send(entry);
  if (outcome.kind === 'later') again(outcome.waitMS);
  return { outcome, stored };
}

/**
 * Sends one drawing, once, and forgets it if the server has it.
 * @param {Entry} entry
 * @returns {Promise<Outcome>}
 */
function send(entry) {
  let sending = underway.get(entry.attempt);
  if (!sending) {
    sending = settle(entry).finally(() => underway.delete(entry.attempt));
    underway.set(entry.attempt, sending);
  }
  return sending;
}

/** @param {Entry} entry @returns {Promise<Outcome>} */
async function settle(entry) {
  const outcome = await ask(entry);
  if (outcome.kind === 'later') return outcome;
  try {
    if (outcome.kind === 'done') await vault.settle(entry);
    else await vault.refuse(entry, outcome.detail);
  } catch { /* then it is sent once more another time, which changes nothing */ }
  tell(entry, outcome);
  pages?.postMessage({ entry: { ...entry, body: '' }, outcome });
  return outcome;
}

/** @param {Entry} entry @returns {Promise<Outcome>} */
async function ask(entry) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), ANSWER_MS);
  try {
    const r = await fetch(entry.submit, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', Accept: 'application/json' },
      body: entry.body,
      signal: stop.signal,
    });
    return await outcomeOf(r, entry);
  } catch {
    return { kind: 'later', waitMS: 0 };
  } finally {
    clearTimeout(timer);
  }
}

/**
 * What an answer means. Only the grade of this very attempt is an
 * acknowledgement, and only a problem document a refusal: between here and the
 * server there may be others who answer 200, 403 or 404 to everything. That it
 * is too large for one of them is final, though.
 * @param {Response} r
 * @param {Entry} entry
 * @returns {Promise<Outcome>}
 */
async function outcomeOf(r, entry) {
  if (r.status === 200 || r.status === 201) {
    const grade = await r.json();
    return grade.attempt === entry.attempt ? { kind: 'done' } : { kind: 'later', waitMS: 0 };
  }
  const told = r.headers.get('Content-Type')?.startsWith('application/problem+json');
  const passing = r.status < 400 || r.status >= 500 || r.status === 408 || r.status === 429;
  if (passing || !(told || r.status === 413)) {
    return { kind: 'later', waitMS: 1000 * (Number(r.headers.get('Retry-After')) || 0) };
  }
  const problem = await r.json().catch(() => ({}));
  return { kind: 'refused', detail: String(problem.detail || problem.title || `The server answered ${r.status}.`) };
}

/**
 * Sends all that waits, one after another.
 * @returns {Promise<number>} how long to wait before the next time, ms: 0
 *   when the server asks for nothing special, Infinity when nothing waits
 */
async function flush() {
  const all = new Map(own);
  try {
    for (const entry of await vault.entries()) all.set(entry.attempt, entry);
  } catch { /* what this page handed in is sent all the same */ }
  for (const entry of all.values()) {
    if (entry.refused !== undefined) continue;
    const outcome = await send(entry);
    if (outcome.kind === 'later') return outcome.waitMS;
  }
  return Infinity;
}

/** flush, in one page at a time where the browser can tell pages apart.
 * @returns {Promise<number>} */
async function flushAlone() {
  if (!navigator.locks) return flush();
  return navigator.locks.request('boxwright.outbox', { ifAvailable: true }, (lock) => (lock ? flush() : 0));
}

/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;
let waitMS = FIRST_WAIT_MS;
let running = false;
let kept = false; // keepTrying was called

/** @param {number} asked by the server, ms */
function again(asked) {
  clearTimeout(timer);
  // Spread a little, so that a class does not come back all at once.
  timer = setTimeout(tryNow, Math.max(asked, waitMS * (0.75 + Math.random() / 2)));
  waitMS = Math.min(LONGEST_WAIT_MS, 2 * waitMS);
}

/** Tries now, and later again as long as something waits. */
export async function tryNow() {
  if (running) return;
  running = true;
  clearTimeout(timer);
  const asked = await flushAlone().catch(() => 0);
  running = false;
  if (asked === Infinity) waitMS = FIRST_WAIT_MS;
  else again(asked);
}

/** Hands in what waits, now and whenever there is hope. */
export function keepTrying() {
  if (kept) return;
  kept = true;
  const hope = () => {
    waitMS = FIRST_WAIT_MS;
    void tryNow();
  };
  addEventListener('online', hope);
  addEventListener('pageshow', (e) => {
    if (e.persisted) hope();
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') hope();
  });
  void tryNow();
}
