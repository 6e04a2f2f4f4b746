// @ts-check
// The redline on the page: taking it in after hand-in, its layers, its keys,
// the way to the next sheet.
import { makeReplay } from './replay.js';
import { say } from './status.js';

/** @typedef {import('./paper.js').Paper} Paper */

/** The layers' keys. */
const LAYERS = ['ink', 'true', 'rays'];
const ASK_MS = 4000;

/**
 * Lays the redline over the sheet: the server's picture, panel and title
 * block take the places of the page's own.
 * @param {HTMLElement} desk
 * @param {Paper} paper
 * @param {string} attempt
 * @param {string} html
 */
export function showRedline(desk, paper, attempt, html) {
  const part = new DOMParser().parseFromString(html, 'text/html').getElementById('redline-part');
  const svg = part?.querySelector('svg');
  const panel = part?.querySelector('#panel');
  const block = part?.querySelector('#block');
  const old = desk.querySelector('#paper > svg');
  const oldPanel = desk.querySelector('#panel');
  const oldBlock = desk.querySelector('#block');
  if (!svg || !panel || !block || !old || !oldPanel || !oldBlock) throw new Error('the redline is not whole');
  old.replaceWith(document.adoptNode(svg));
  // The panel stays and its content changes, so that it is read out.
  oldPanel.replaceChildren(...panel.childNodes);
  oldBlock.replaceWith(document.adoptNode(block));
  paper.clear();
  const canvas = paper.wet.canvas;
  for (const name of ['role', 'aria-label', 'tabindex']) canvas.removeAttribute(name);
  canvas.setAttribute('aria-hidden', 'true');
  const bar = document.getElementById('keybar');
  if (bar) bar.hidden = true;
  desk.dataset.attempt = attempt;
  desk.dataset.hide = '';
  desk.dataset.state = 'redline';
  say('');
  // A reload, or coming back from the next sheet, shows the redline again.
  history.replaceState(history.state, '', `/attempts/${attempt}`);
  document.title = `Redline: ${desk.querySelector('h1')?.textContent ?? ''} · Boxwright`;
  useRedline(desk, paper);
  document.getElementById('next')?.focus({ preventScroll: true });
}

/**
 * Makes the redline's controls work.
 * @param {HTMLElement} desk
 * @param {Paper} paper
 */
export function useRedline(desk, paper) {
  /** @param {string} layer */
  const toggle = (layer) => {
    const hidden = new Set((desk.dataset.hide ?? '').split(' ').filter(Boolean));
    if (!hidden.delete(layer)) hidden.add(layer);
    desk.dataset.hide = [...hidden].join(' ');
    for (const b of desk.querySelectorAll(`[data-toggle="${layer}"]`)) {
      b.setAttribute('aria-pressed', String(!hidden.has(layer)));
    }
  };
  for (const b of desk.querySelectorAll('[data-toggle]')) {
    b.addEventListener('click', () => toggle(b.getAttribute('data-toggle') ?? ''));
  }

  const replay = makeReplay(desk, paper);
  document.getElementById('replay')?.addEventListener('click', replay.toggle);

  const next = /** @type {HTMLButtonElement | null} */ (document.getElementById('next'));
  next?.form?.addEventListener('submit', (e) => {
    e.preventDefault();
    void leave(/** @type {HTMLFormElement} */ (next.form));
  });

  // The Enter that handed in must not go on to the next sheet while it is
  // held down: only a new press does.
  let fresh = false;
  addEventListener('keyup', (e) => {
    if (e.key === 'Enter') fresh = true;
  });
  addEventListener('pointerdown', () => (fresh = true));
  document.addEventListener('keydown', (e) => {
    if (desk.dataset.state !== 'redline' || e.ctrlKey || e.metaKey || e.altKey) return;
    const at = document.activeElement;
    if (e.key === 'Enter') {
      if (e.repeat && !fresh) e.preventDefault();
      else if (at === desk || at === document.body) {
        e.preventDefault();
        next?.form?.requestSubmit();
      }
      return;
    }
    const layer = LAYERS[Number(e.key) - 1];
    if (layer && desk.contains(at)) toggle(layer);
    if (e.key === 'Escape') replay.stop();
  });
}

let leaving = false;
addEventListener('pageshow', () => (leaving = false)); // one may come back

/**
 * Goes to the next sheet, if there is a way to it; else says so and stays.
 * @param {HTMLFormElement} form
 */
async function leave(form) {
  if (leaving) return;
  leaving = true;
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), ASK_MS);
  try {
    await fetch('/healthz', { method: 'HEAD', cache: 'no-store', signal: stop.signal });
    form.submit();
  } catch {
    leaving = false;
    say('The next sheet cannot be fetched: there is no connection. This one is handed in and safe.');
  }
  clearTimeout(timer);
}
