// @ts-check
// The choices that are kept on this device. What they change is set on the
// root element, where boot.js sets it again before the next page is painted.

/** @type {{[name: string]: {key: string, plain: string}}} */
const SETTINGS = {
  theme: { key: 'boxwright.theme', plain: 'auto' },
  hand: { key: 'boxwright.hand', plain: 'right' },
};

/**
 * Applies a choice and keeps it; the plain one is kept as none at all.
 * @param {string} name
 * @param {string} value
 */
function choose(name, value) {
  const { key, plain } = SETTINGS[name];
  const root = document.documentElement;
  if (value === plain) root.removeAttribute(`data-${name}`);
  else root.setAttribute(`data-${name}`, value);
  try {
    if (value === plain) localStorage.removeItem(key);
    else localStorage.setItem(key, value);
  } catch { /* storage is closed to the page: the choice lasts for this page */ }
}

for (const field of document.querySelectorAll('select[data-setting]')) {
  const select = /** @type {HTMLSelectElement} */ (field);
  const name = select.dataset.setting ?? '';
  if (!SETTINGS[name]) continue;
  select.value = document.documentElement.getAttribute(`data-${name}`) ?? SETTINGS[name].plain;
  select.addEventListener('change', () => choose(name, select.value));
}
