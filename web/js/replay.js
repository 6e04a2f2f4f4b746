// @ts-check
// The drawing once more, line by line, at the speed it was drawn.
import { restored } from './stroke.js';
import { say } from './status.js';

/** @typedef {import('./paper.js').Paper} Paper */
/** @typedef {import('./stroke.js').Stroke} Stroke */

/** A pause between two lines lasts at most this long. */
const PAUSE_MS = 500;
/** How long a line stands before the next one, where there is no motion. */
const STEP_MS = 600;

/**
 * When the replay shows each line: from at, for as long as it took to draw.
 * @param {readonly Stroke[]} strokes
 */
export function schedule(strokes) {
  let at = 0;
  return strokes.map((s, i) => {
    const before = i > 0 ? strokes[i - 1].t : null;
    if (before) at += Math.min(PAUSE_MS, Math.max(0, s.t[0] - before[before.length - 1]));
    const from = at;
    at += s.t[s.t.length - 1] - s.t[0];
    return from;
  });
}

/**
 * @param {HTMLElement} desk
 * @param {Paper} paper
 */
export function makeReplay(desk, paper) {
  const button = document.getElementById('replay');
  /** @type {Promise<Stroke[]> | null} */
  let strokes = null;
  let run = 0; // counts replays: an older one sees that it is over
  let playing = false;

  const stop = () => {
    run++;
    if (!playing) return;
    playing = false;
    paper.clear();
    delete desk.dataset.replay;
    desk.querySelectorAll('.layer.ink').forEach((g) => g.removeAttribute('display'));
    if (button) button.textContent = 'Replay';
  };

  const start = async () => {
    const mine = ++run;
    strokes ??= fetchStrokes(desk.dataset.attempt ?? '');
    let all;
    try {
      all = await strokes;
    } catch {
      strokes = null;
      say('The lines could not be fetched for the replay.');
      return;
    }
    if (mine !== run) return;
    playing = true;
    say('');
    desk.dataset.replay = 'playing';
    desk.querySelectorAll('.layer.ink').forEach((g) => g.setAttribute('display', 'none'));
    if (button) button.textContent = 'Stop';
    const still = matchMedia('(prefers-reduced-motion: reduce)').matches;
    await (still ? steps(all, paper, () => mine === run) : play(all, paper, () => mine === run));
    if (mine === run) stop();
  };

  return {
    stop,
    toggle: () => {
      if (playing) stop();
      else void start();
    },
  };
}

/** @param {string} attempt @returns {Promise<Stroke[]>} */
async function fetchStrokes(attempt) {
  const r = await fetch(`/api/v1/attempts/${attempt}`, { headers: { Accept: 'application/json' } });
  if (!r.ok) throw new Error(`status ${r.status}`);
  const doc = await r.json();
  return (doc.attempt.strokes ?? []).map((/** @type {any} */ s) => {
    const n = s.x.length;
    // Lines from elsewhere may tell no times: they take a second each.
    return restored({ ...s, t: s.t ?? Array.from({ length: n }, (_, i) => (1000 * i) / (n - 1)) });
  });
}

/**
 * @param {readonly Stroke[]} strokes
 * @param {Paper} paper
 * @param {() => boolean} going
 * @returns {Promise<void>}
 */
function play(strokes, paper, going) {
  const starts = schedule(strokes);
  return new Promise((resolve) => {
    let shown = 0; // lines that are whole
    let i = 0; // samples shown of the next one
    let zero = -1;
    paper.clear();
    /** @param {number} now */
    const frame = (now) => {
      if (!going()) return resolve();
      if (zero < 0) zero = now;
      const t = now - zero;
      while (shown < strokes.length) {
        const s = strokes[shown];
        const at = t - starts[shown] + s.t[0];
        if (t < starts[shown]) break;
        if (i === 0) paper.wetBrush.start(paper.look, s.role, s.x[0], s.y[0], s.p ? s.p[0] : -1);
        while (i < s.x.length && s.t[i] <= at) {
          paper.wetBrush.to(s.x[i], s.y[i], s.p ? s.p[i] : -1);
          i++;
        }
        if (i < s.x.length) {
          paper.wetBrush.grow([]);
          break;
        }
        shown++;
        i = 0;
        paper.wetBrush.wipe();
        paper.clearWet();
        paper.show(strokes.slice(0, shown));
      }
      if (shown < strokes.length) requestAnimationFrame(frame);
      else setTimeout(resolve, PAUSE_MS);
    };
    requestAnimationFrame(frame);
  });
}

/**
 * For those who want no motion: one whole line after another.
 * @param {readonly Stroke[]} strokes
 * @param {Paper} paper
 * @param {() => boolean} going
 */
async function steps(strokes, paper, going) {
  paper.clear();
  for (let n = 1; n <= strokes.length && going(); n++) {
    paper.show(strokes.slice(0, n));
    await new Promise((resolve) => setTimeout(resolve, STEP_MS));
  }
}
