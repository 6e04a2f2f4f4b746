// @ts-check
// The device's store in local storage, where there is no better one. It is
// small, and what does not fit is refused by its setItem.

/** @typedef {import('./vault.js').Store} Store */
/** @typedef {import('./vault.js').Shelf} Shelf */

/** @param {Shelf} shelf @param {string} key */
const name = (shelf, key) => `boxwright.${shelf}.${key}`;

/** @param {string} _ @param {unknown} v */
const plain = (_, v) => (v instanceof Float64Array ? Array.from(v) : v);

/**
 * @param {Pick<Storage, 'length' | 'key' | 'getItem' | 'setItem' | 'removeItem'>} storage
 * @returns {Store}
 */
export function open(storage) {
  // Private windows may let it be seen, but not written.
  storage.setItem('boxwright.try', '1');
  storage.removeItem('boxwright.try');

  /** @param {string} key */
  const read = (key) => {
    const text = storage.getItem(key);
    return text === null ? undefined : JSON.parse(text);
  };
  return {
    get: async (shelf, key) => read(name(shelf, key)),
    all: async (shelf) => {
      const keys = [];
      for (let i = 0; i < storage.length; i++) keys.push(storage.key(i) ?? '');
      return keys.filter((k) => k.startsWith(name(shelf, ''))).map(read);
    },
    write: async (changes) => {
      /** @type {[string, string | null][]} */
      const before = [];
      try {
        for (const { shelf, key, value } of changes) {
          const k = name(shelf, key);
          before.push([k, storage.getItem(k)]);
          if (value === undefined) storage.removeItem(k);
          else storage.setItem(k, JSON.stringify(value, plain));
        }
      } catch (fault) {
        for (const [k, text] of before.reverse()) {
          if (text === null) storage.removeItem(k);
          else storage.setItem(k, text);
        }
        throw fault;
      }
    },
  };
}
