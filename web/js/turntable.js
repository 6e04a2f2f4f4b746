// @ts-check
// The turntable: sliders, drag and arrow keys choose a position, the server
// draws it. All geometry is the server's; here are only whole degrees.

/** @typedef {{around: number, up: number, box: string}} Position */

const LIMIT = { around: 180, up: 60 };
/** Degrees to a pixel of dragging. */
const PER_PIXEL = 0.4;
/** So near, in degrees, a drag settles where a set ceases to converge. */
const DETENT = 2;
/** Frames kept on the page, so that going back and forth asks nobody. */
const KEPT = 400;

const view = /** @type {HTMLElement} */ (document.getElementById('view'));
const form = /** @type {HTMLFormElement} */ (document.getElementById('turn'));
const around = /** @type {HTMLInputElement} */ (document.getElementById('around'));
const up = /** @type {HTMLInputElement} */ (document.getElementById('up'));
const box = /** @type {HTMLSelectElement} */ (document.getElementById('box'));
const said = /** @type {HTMLElement} */ (document.getElementById('said'));

/** @param {number} a degrees, any @returns {number} the same within a whole turn */
const wrap = (a) => {
  const r = ((a + 180) % 360 + 360) % 360 - 180;
  return r === -180 && a > 0 ? 180 : r;
};
/** @param {number} u @returns {number} */
const clamp = (u) => Math.min(LIMIT.up, Math.max(-LIMIT.up, u));

/**
 * The nearest whole degree; within the detent, the place where a set ceases
 * to converge: a quarter turn, or level.
 * @param {number} d @param {number} every degrees between such places
 * @returns {number}
 */
function settle(d, every) {
  const stop = Math.round(d / every) * every;
  return Math.abs(d - stop) <= DETENT ? stop : Math.round(d);
}

/** @returns {Position} what the controls say */
const now = () => ({ around: Number(around.value), up: Number(up.value), box: box.value });
/** @param {Position} p @returns {string} */
const query = (p) => `?around=${p.around}&up=${p.up}&box=${p.box}`;

/** @type {Map<string, DocumentFragment>} by query, oldest first */
const frames = new Map();
/** The position wanted, and the one shown, at first the server's: as queries. */
let wanted = query(now());
let shown = query({
  around: Number(around.defaultValue),
  up: Number(up.defaultValue),
  box: [...box.options].find((o) => o.defaultSelected)?.value ?? box.value,
});
/** Whether a position is on its way. */
let flying = false;
let addressTimer = 0;

/** Keeps a frame. @param {string} key its query @param {string} text */
function remember(key, text) {
  const t = document.createElement('template');
  t.innerHTML = text;
  frames.set(key, t.content);
  if (frames.size > KEPT) frames.delete(/** @type {string} */ (frames.keys().next().value));
}

/** Puts a frame's parts in the place of the page's. @param {DocumentFragment} frame */
function show(frame) {
  const f = /** @type {DocumentFragment} */ (frame.cloneNode(true));
  const name = document.getElementById('name')?.textContent;
  for (const part of f.querySelectorAll('[data-part]')) {
    const here = document.querySelector(`main [data-part="${part.getAttribute('data-part')}"]`);
    // A button in use stays the same one.
    if (!here || here.contains(document.activeElement)) continue;
    here.replaceChildren(...part.childNodes);
  }
  for (const words of f.querySelectorAll('[data-words]')) {
    const which = words.getAttribute('data-words') ?? '';
    const here = document.querySelector(`main [data-words="${which}"]`);
    if (here) here.textContent = words.textContent;
    document.getElementById(which)?.setAttribute('aria-valuetext', words.textContent ?? '');
  }
  for (const step of f.querySelectorAll('[data-step]')) {
    document.querySelector(`main [data-step="${step.getAttribute('data-step')}"]`)?.setAttribute('href', step.getAttribute('href') ?? '');
  }
  const newName = document.getElementById('name')?.textContent;
  if (newName !== name) said.textContent = `${newName}. ${document.getElementById('says')?.textContent}`;
}

/** Shows the newest wanted position; at most one request is under way. */
async function update() {
  if (flying) return;
  flying = true;
  try {
    while (wanted !== shown) {
      const key = wanted;
      if (!frames.has(key)) {
        const answer = await fetch(`/turntable/frame${key}`);
        if (!answer.ok) throw new Error(String(answer.status));
        remember(key, await answer.text());
      }
      await new Promise((done) => requestAnimationFrame(done)); // once a screen frame
      show(/** @type {DocumentFragment} */ (frames.get(key)));
      shown = key;
    }
    quiet();
  } catch {
    warn();
  } finally {
    flying = false;
  }
}

const status = document.getElementById('status');
const LOST = 'The server cannot be reached. The picture stays as it is.';
function warn() { if (status) status.textContent = LOST; }
function quiet() { if (status?.textContent === LOST) status.textContent = ''; }

/** @param {Partial<Position>} p */
function go(p) {
  if (p.around !== undefined) around.value = String(wrap(p.around));
  if (p.up !== undefined) up.value = String(clamp(p.up));
  if (p.box !== undefined) box.value = p.box;
  wanted = query(now());
  update();
  // The address follows once things come to rest: browsers limit how often.
  clearTimeout(addressTimer);
  addressTimer = window.setTimeout(() => history.replaceState(null, '', wanted), 300);
}

form.addEventListener('submit', (e) => { e.preventDefault(); go({}); });
box.addEventListener('change', () => go({}));

/** Sliders have the detent under the hand, and every degree by the keys. */
for (const [slider, every] of /** @type {[HTMLInputElement, number][]} */ ([[around, 90], [up, 180]])) {
  let held = false;
  slider.addEventListener('pointerdown', () => { held = true; });
  for (const end of ['pointerup', 'pointercancel', 'keydown']) slider.addEventListener(end, () => { held = false; });
  slider.addEventListener('input', () => {
    if (held) slider.value = String(settle(Number(slider.value), every));
    go({});
  });
}

for (const step of document.querySelectorAll('a[data-step]')) {
  step.addEventListener('click', (e) => {
    const m = /** @type {MouseEvent} */ (e);
    if (m.button !== 0 || m.ctrlKey || m.metaKey || m.shiftKey || m.altKey) return;
    e.preventDefault();
    const to = new URL(/** @type {HTMLAnchorElement} */ (step).href).searchParams;
    go({ around: Number(to.get('around')), up: Number(to.get('up')) });
  });
}

view.addEventListener('keydown', (e) => {
  if (e.ctrlKey || e.metaKey || e.altKey) return;
  const p = now();
  const by = e.shiftKey ? 10 : 1;
  switch (e.key) {
    case 'ArrowLeft': go({ around: p.around - by }); break;
    case 'ArrowRight': go({ around: p.around + by }); break;
    case 'ArrowUp': go({ up: p.up + by }); break;
    case 'ArrowDown': go({ up: p.up - by }); break;
    case 'Home': go({ around: 0, up: 0 }); break;
    default: return;
  }
  e.preventDefault();
});

/** @type {{id: number, x: number, y: number, around: number, up: number} | null} */
let hand = null;
view.addEventListener('pointerdown', (e) => {
  if (hand || !e.isPrimary || e.button !== 0) return;
  const p = now();
  hand = { id: e.pointerId, x: e.clientX, y: e.clientY, around: p.around, up: p.up };
  view.setPointerCapture(e.pointerId);
});
view.addEventListener('pointermove', (e) => {
  if (!hand || e.pointerId !== hand.id) return;
  // The box follows the hand: its near side goes where the hand goes.
  const a = hand.around - (e.clientX - hand.x) * PER_PIXEL;
  const u = hand.up - (e.clientY - hand.y) * PER_PIXEL;
  go({ around: settle(a, 90), up: settle(clamp(u), 180) });
});
for (const end of ['pointerup', 'pointercancel', 'lostpointercapture']) {
  view.addEventListener(end, (e) => {
    if (hand && /** @type {PointerEvent} */ (e).pointerId === hand.id) hand = null;
  });
}

// A browser may bring the controls back as they were, without the picture.
addEventListener('pageshow', () => go({}));
addEventListener('online', update);
view.dataset.ready = 'yes';
