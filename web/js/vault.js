// @ts-check
// What is kept on the device: the draft of each unfinished sheet, and the
// outbox of drawings that were handed in but not yet taken by the server.
import * as idb from './vault-idb.js';
import * as local from './vault-local.js';

/** @typedef {import('./history.js').Step} Step */
/**
 * An unfinished sheet. attempt is the id under which it was handed in, once
 * it was; shown is how long the sheet had been shown, ms.
 * @typedef {{exercise: string, startedAt: number, shown: number, done: readonly Step[], undone: readonly Step[], attempt?: string}} Draft
 */
/**
 * A drawing on its way. body is the attempt document as it is sent, the same
 * each time. refused: why the server will not have it.
 * @typedef {{attempt: string, exercise: string, submit: string, body: string, made: number, refused?: string}} Entry
 */
/** @typedef {'drafts' | 'outbox'} Shelf */
/**
 * One change; without a value the key is removed.
 * @typedef {{shelf: Shelf, key: string, value?: unknown}} Change
 */
/**
 * A place to keep things. write makes all changes or none.
 * @typedef {{
 *   get(shelf: Shelf, key: string): Promise<any>, all(shelf: Shelf): Promise<any[]>,
 *   write(changes: Change[]): Promise<void>,
 * }} Store
 */

/** A store that does not open in this time never will. */
const OPEN_MS = 2000;

/** @type {Promise<{store: Store, lasting: boolean}> | undefined} */
let opened;

/** Opens the best store there is: IndexedDB, else local storage, else memory,
 * which lasts only as long as the page. */
function open() {
  opened ??= (async () => {
    try {
      return { store: await within(OPEN_MS, idb.open(() => (opened = undefined))), lasting: true };
    } catch { /* private windows of some browsers have none */ }
    try {
      return { store: local.open(localStorage), lasting: true };
    } catch { /* nor this */ }
    return { store: local.open(new MemoryStorage()), lasting: false };
  })();
  return opened;
}

/**
 * @template T
 * @param {number} ms
 * @param {Promise<T>} promise
 * @returns {Promise<T>}
 */
function within(ms, promise) {
  return new Promise((resolve, reject) => {
    setTimeout(() => reject(new Error('no answer in time')), ms);
    promise.then(resolve, reject);
  });
}

/** As much of the Storage interface as is needed. */
class MemoryStorage {
  constructor() {
    /** @type {Map<string, string>} */
    this.map = new Map();
  }
  get length() {
    return this.map.size;
  }
  /** @param {number} i */
  key(i) {
    return [...this.map.keys()][i] ?? null;
  }
  /** @param {string} k */
  getItem(k) {
    return this.map.get(k) ?? null;
  }
  /** @param {string} k @param {string} v */
  setItem(k, v) {
    this.map.set(k, v);
  }
  /** @param {string} k */
  removeItem(k) {
    this.map.delete(k);
  }
}

/** Whether what is kept outlives the page. */
export const lasting = async () => (await open()).lasting;

/** @param {string} exercise @returns {Promise<Draft | undefined>} */
export async function draft(exercise) {
  return (await open()).store.get('drafts', exercise);
}

/** @param {Draft} d */
export async function keepDraft(d) {
  const change = { shelf: /** @type {Shelf} */ ('drafts'), key: d.exercise };
  await (await open()).store.write([d.done.length || d.undone.length ? { ...change, value: d } : change]);
}

/** The drawings on their way, oldest first. @returns {Promise<Entry[]>} */
export async function entries() {
  const all = await (await open()).store.all('outbox');
  return all.sort((a, b) => a.made - b.made);
}

/** Puts a drawing into the outbox and marks its draft as handed in.
 * @param {Entry} e @param {Draft} d */
export async function post(e, d) {
  await (await open()).store.write([
    { shelf: 'outbox', key: e.attempt, value: e },
    { shelf: 'drafts', key: d.exercise, value: { ...d, attempt: e.attempt } },
  ]);
}

/** Forgets a drawing that the server has, and its draft, unless that has
 * been drawn anew since. @param {Entry} e */
export async function settle(e) {
  const { store } = await open();
  /** @type {Change[]} */
  const changes = [{ shelf: 'outbox', key: e.attempt }];
  const d = await store.get('drafts', e.exercise);
  if (d && d.attempt === e.attempt) changes.push({ shelf: 'drafts', key: e.exercise });
  await store.write(changes);
}

/** Keeps a drawing that the server does not take, without trying again.
 * @param {Entry} e @param {string} detail */
export async function refuse(e, detail) {
  await (await open()).store.write([{ shelf: 'outbox', key: e.attempt, value: { ...e, refused: detail } }]);
}

/** Takes a drawing out of the outbox again: its draft is being worked on.
 * @param {Entry} e */
export async function withdraw(e) {
  await (await open()).store.write([{ shelf: 'outbox', key: e.attempt }]);
}
