// @ts-check
// Buttons that go on as long as they are held.

const WAIT_MS = 450;
const EVERY_MS = 90;

/**
 * Calls f for each press of a button, and again and again while a pointer
 * holds it down.
 * @param {HTMLElement} button
 * @param {() => void} f
 */
export function onHold(button, f) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  let held = false;
  const again = () => {
    held = true;
    f();
    timer = setTimeout(again, EVERY_MS);
  };
  button.addEventListener('pointerdown', (e) => {
    held = false;
    clearTimeout(timer);
    if (e.isPrimary && e.button === 0) timer = setTimeout(again, WAIT_MS);
  });
  for (const name of ['pointerup', 'pointerleave', 'pointercancel']) {
    button.addEventListener(name, () => clearTimeout(timer));
  }
  button.addEventListener('contextmenu', (e) => {
    if (held) e.preventDefault();
  });
  button.addEventListener('click', () => {
    if (!held) f();
    held = false;
  });
}
