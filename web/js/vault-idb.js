// @ts-check
// The device's store in IndexedDB.

/** @typedef {import('./vault.js').Store} Store */
/** @typedef {import('./vault.js').Shelf} Shelf */
/** @typedef {import('./vault.js').Change} Change */

const NAME = 'boxwright';
const VERSION = 1;

/**
 * @param {() => void} lost called when the browser takes the store away
 * @returns {Promise<Store>}
 */
export async function open(lost) {
  const db = await connect();
  db.onclose = lost;
  return {
    get: (shelf, key) => result(db.transaction(shelf).objectStore(shelf).get(key)),
    all: (shelf) => result(db.transaction(shelf).objectStore(shelf).getAll()),
    write: (changes) => write(db, changes),
  };
}

/** @returns {Promise<IDBDatabase>} */
function connect() {
  return new Promise((resolve, reject) => {
    const ask = indexedDB.open(NAME, VERSION);
    ask.onupgradeneeded = () => {
      ask.result.createObjectStore('drafts');
      ask.result.createObjectStore('outbox');
    };
    ask.onblocked = () => reject(new Error('an older page holds the store'));
    ask.onerror = () => reject(ask.error);
    ask.onsuccess = () => {
      // A page of a later version must be able to take over.
      ask.result.onversionchange = () => ask.result.close();
      resolve(ask.result);
    };
  });
}

/**
 * @template T
 * @param {IDBRequest<T>} ask
 * @returns {Promise<T>}
 */
function result(ask) {
  return new Promise((resolve, reject) => {
    ask.onsuccess = () => resolve(ask.result);
    ask.onerror = () => reject(ask.error);
  });
}

/**
 * @param {IDBDatabase} db
 * @param {Change[]} changes
 * @returns {Promise<void>}
 */
function write(db, changes) {
  return new Promise((resolve, reject) => {
    const shelves = [...new Set(changes.map((c) => c.shelf))];
    const t = db.transaction(shelves, 'readwrite');
    t.oncomplete = () => resolve();
    t.onabort = () => reject(t.error);
    for (const { shelf, key, value } of changes) {
      if (value === undefined) t.objectStore(shelf).delete(key);
      else t.objectStore(shelf).put(value, key);
    }
  });
}
