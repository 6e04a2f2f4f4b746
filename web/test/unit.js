// @ts-check
// Tests of the modules that do not need a page. They run in a browser, for
// that is where the modules do; run_test.go opens this file there and reads
// the results.
import * as history from '../js/history.js';
import * as line from '../js/line.js';
import * as mark from '../js/mark.js';
import { edgeWords, nearest, shownEdges } from '../js/edges.js';
import { askedMarks } from '../js/meet.js';
import * as local from '../js/vault-local.js';
import * as outbox from '../js/outbox.js';
import * as vault from '../js/vault.js';
import { attemptJSON, pointerOf } from '../js/attempt-json.js';
import { counted, due } from '../js/rest.js';
import { schedule } from '../js/replay.js';
import { Drawing } from '../js/drawing.js';
import { MAX_SAMPLES, Samples, reach, restored, straight, thin } from '../js/stroke.js';
import { uuid7 } from '../js/uuid.js';

/** @typedef {import('../js/stroke.js').Stroke} Stroke */

/** @param {unknown} got @param {unknown} want @param {string} what */
function same(got, want, what) {
  const g = JSON.stringify(got), w = JSON.stringify(want);
  if (g !== w) throw new Error(`${what}: got ${g}, want ${w}`);
}

/** @param {number} got @param {number} want @param {number} by @param {string} what */
function near(got, want, by, what) {
  if (!(Math.abs(got - want) <= by)) throw new Error(`${what}: got ${got}, want ${want} to ${by}`);
}

/** @param {unknown} ok @param {string} what */
function holds(ok, what) {
  if (!ok) throw new Error(what);
}

/** Small numbers in an order that is always the same (a linear congruential
 * generator; its constants are common practice).
 * @param {number} seed */
function dice(seed) {
  return (/** @type {number} */ n) => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return Math.floor((seed / 2 ** 32) * n);
  };
}

/** @param {number} i @param {import('../js/stroke.js').Pointer} [pointer] */
const stroke = (i, pointer = 'ruler') => straight('edge', pointer, { x: i, y: 1, t: 100 * i }, { x: i, y: 50, t: 100 * i + 40 });

const SHEET = { width: 297, height: 210 };

/** @param {number} x @param {number} y */
const point = (x, y) => mark.pointAt('p-width', { x, y }, 'pen', SHEET);

/** @type {Record<string, () => void | Promise<void>>} */
const tests = {
  'history goes back and forth as a list of all states does'() {
    const roll = dice(7);
    const shown = (/** @type {history.History} */ h) => ({ strokes: h.strokes, marks: h.marks });
    for (let round = 0; round < 200; round++) {
      let h = history.blank;
      let states = [shown(h)], at = 0;
      for (let i = 0; i < 40; i++) {
        const n = roll(14);
        const old = h;
        const point = mark.pointAt(`p-${roll(3)}`, { x: i, y: n }, 'touch', SHEET);
        if (n < 4) h = history.added(h, stroke(i));
        else if (n < 6) h = history.undo(h);
        else if (n < 8) h = history.redo(h);
        else if (n < 10) h = history.cleared(h);
        else if (n < 12) h = history.marked(h, point);
        else if (n < 13) h = history.marked(h, mark.strayEdge(`e${roll(4)}`, 'mouse'));
        else h = history.unmarked(h, `p-${roll(3)}`);
        if (n < 4 || n > 7) {
          if (h !== old) states = [...states.slice(0, ++at), shown(h)];
        } else at = Math.min(states.length - 1, Math.max(0, at + (n < 6 ? -1 : 1)));
        same(shown(h), states[at], `step ${i}`);
        same(shown(history.fromSteps(h.done, h.undone)), shown(h), 'rebuilt');
      }
    }
  },

  'nudges of one mark are one step'() {
    let h = history.marked(history.blank, point(10, 10));
    for (let i = 1; i <= 5; i++) h = history.marked(h, point(10 + i, 10), true);
    same([h.done.length, h.marks[0].at], [2, [15, 10]], 'nudged');
    h = history.undo(h);
    same(h.marks[0].at, [10, 10], 'all nudges are taken back');
    h = history.marked(h, point(9, 9), true);
    h = history.marked(h, mark.strayEdge('e1', 'mouse'));
    h = history.marked(h, point(8, 8), true);
    same(h.done.length, 4, 'another mark between them ends the nudges');
  },

  'a draft kept before there were marks goes on'() {
    const d = new Drawing('x', { now: 1, clock: 0 });
    const plain = JSON.parse(JSON.stringify(stroke(1), (_, v) => (v instanceof Float64Array ? [...v] : v)));
    d.resume({ exercise: 'x', startedAt: 1, shown: 5, done: [{ add: plain }, { clear: [plain] }], undone: [] }, 10);
    same([d.strokes.length, d.marks.length], [0, 0], 'cleared');
    d.undo();
    same([d.strokes.length, d.marks.length], [1, 0], 'undone');
    d.mark(point(1, 2));
    const again = new Drawing('x', { now: 1, clock: 0 });
    again.resume(JSON.parse(JSON.stringify(d.draft(20), (_, v) => (v instanceof Float64Array ? [...v] : v))), 30);
    same([again.marks, again.strokes.length], [d.marks, 1], 'with a mark');
    again.clear();
    same(again.empty, true, 'cleared of lines and marks');
    again.undo();
    same([again.marks, again.strokes.length], [d.marks, 1], 'and back');
  },

  'the horizon goes through what is tapped'() {
    const tap = (/** @type {mark.Mark | null} */ m, /** @type {number} */ x, /** @type {number} */ y, level = false) =>
      mark.horizonAt(m, { x, y }, level, 'pen', SHEET);
    const on = (/** @type {mark.Mark} */ m, /** @type {number} */ x, /** @type {number} */ y, /** @type {string} */ what) => {
      const [a, b, c] = mark.lineOf(m);
      near(Math.hypot(a, b), 1, 1e-12, `${what}: normal`);
      near(a * x + b * y + c, 0, 1e-9, what);
    };
    let m = tap(null, 30, 80);
    same(mark.markObject(m), { for: 'horizon', line: [0, 1, -80] }, 'level at first');
    m = tap(m, 250, 90);
    on(m, 30, 80, 'first');
    on(m, 250, 90, 'second');
    near(mark.tilt(m), (Math.atan2(10, 220) * 180) / Math.PI, 1e-12, 'tilt');
    m = tap(m, 240, 60);
    on(m, 30, 80, 'the far place stays');
    on(m, 240, 60, 'the near one moves');
    m = tap(m, -700, 70);
    on(m, -700, 70, 'far off the sheet');
    on(m, 240, 60, 'the other stays');
    for (const by of [0.5, -7, 80, 95]) {
      const t = mark.turned(m, by);
      let d = mark.tilt(t) - mark.tilt(m) - by;
      d -= 180 * Math.round(d / 180);
      near(d, 0, 0.01, `turned by ${by}`);
      on(t, ...(/** @type {[number, number]} */ (m.at)), 'turned about its first place');
    }
    same(mark.lineOf(tap(tap(null, 30, 80, true), 250, 95, true)), [0, 1, -95], 'in a one-point view it stays level');
    same(mark.nudged(m, 1, -2, SHEET).to, [(m.to ?? [0, 0])[0] + 1, (m.to ?? [0, 0])[1] - 2], 'moved as a whole');
  },

  'marks are written as the contract says'() {
    const marks = [mark.pointAt('p-width', { x: 431.23456, y: 79.999 }, 'touch', SHEET), mark.strayEdge('e5', 'touch')];
    const doc = JSON.parse(attemptJSON({ attempt: uuid7(1), exercise: 'x', startedAt: 1, pxPerMM: 3, strokes: [], marks }));
    same(doc.marks, [{ for: 'p-width', at: [431.23, 80, 1] }, { for: 'stray', edge: 'e5' }], 'marks');
    same([doc.strokes, doc.input.pointer], [[], 'touch'], 'no strokes');
    same('marks' in JSON.parse(attempt([stroke(1)])), false, 'none');
    same(pointerOf([stroke(1, 'pen')], marks), 'pen', 'strokes go before marks');
    const far = mark.pointAt('p', { x: 5000, y: -4000 }, 'pen', SHEET).at ?? [0, 0];
    holds(Math.hypot(far[0] - 297, far[1]) <= 3 * 297, 'within reach');
  },

  'the nearest edge is meant, and named by its place'() {
    const doc = {
      corners: [null, null, [20, 150], [200, 150]],
      edges: [
        { id: 'e0', set: 'width', corners: [0, 1], given: true, drawn: [[20, 50], [200, 55]] },
        { id: 'e1', set: 'width', corners: [2, 3], given: true },
        { id: 'e2', set: 'height', corners: [0, 2], given: true, drawn: [[20, 55], [20, 145]] },
        { id: 'e3', set: 'depth', corners: [0, 3], given: true },
        { id: 'e4', set: 'depth', corners: [2, 3], given: false },
      ],
    };
    const edges = shownEdges(doc);
    same(edges.map((e) => e.id), ['e0', 'e2', 'e1'], 'what is shown, in reading order');
    same(edges.map((_, i) => edgeWords(edges, i)),
      ['edge 1 of 3, upper right, level', 'edge 2 of 3, middle left, upright', 'edge 3 of 3, lower right, level'], 'names');
    same(nearest({ x: 100, y: 60 }, edges, 10)?.id, 'e0', 'near');
    same(nearest({ x: 24, y: 60 }, edges, 30)?.id, 'e2', 'nearer');
    same(nearest({ x: 100, y: 100 }, edges, 10), null, 'none');
    same(nearest({ x: 230, y: 150 }, edges, 29), null, 'past its end');
  },

  'what is asked to be marked has a name'() {
    const points = [{ id: 'p-width', set: 'width' }, { id: 'p-depth', set: 'depth' }];
    same(askedMarks({ points, asked: { points: ['p-width', 'p-depth'], horizon: true } }).map((a) => [a.id, a.name]),
      [['p-width', 'Width point'], ['p-depth', 'Depth point'], ['horizon', 'Horizon']], 'two-point');
    same(askedMarks({ points, asked: { points: ['p-depth'] } }).map((a) => a.name), ['Vanishing point'], 'one-point');
  },

  'samples are rounded, and time never falls'() {
    const s = new Samples();
    s.add(1.23456, 9.87654, 10.06, 0.12345);
    s.add(2, 3, 9, 1.5);
    s.add(2, 3, 9, 0.5); // told twice
    const { x, y, t, p } = s.stroke('edge', 'pen');
    same([[...x], [...y], [...t], [...p ?? []]], [[1.23, 2], [9.88, 3], [10.1, 10.1], [0.123, 1]], 'columns');
    same(s.stroke('edge', 'mouse').p, null, 'what is no pressure');
  },

  'a long stroke keeps its ends, its shape and its evenness'() {
    const s = new Samples();
    const n = 30000;
    const at = (/** @type {number} */ i) => [20 + (200 * i) / n, 100 + 30 * Math.sin((i / n) * 40)];
    for (let i = 0; i <= n; i++) s.add(at(i)[0], at(i)[1], i, 0.5);
    for (let i = 0; i < 9000; i++) s.add(at(n)[0], at(n)[1], n + i, 0.5); // the pen rests
    const k = s.stroke('edge', 'pen');
    const last = k.x.length - 1;
    holds(last < MAX_SAMPLES, 'too many samples left');
    same([k.x[0], k.y[0], k.t[0]], [20, 100, 0], 'start');
    same([k.x[last], k.t[last]], [220, n + 8999], 'end');
    for (let i = 1; i <= last; i++) {
      near(k.y[i], 100 + 30 * Math.sin(((k.x[i] - 20) / 200) * 40), 0.05, `shape at ${i}`);
      holds(k.x[i] - k.x[i - 1] < 0.5, `gap at ${i}`);
      holds(k.t[i] >= k.t[i - 1], `time at ${i}`);
    }
  },

  'thinning a zigzag drops nothing that shows'() {
    const n = 101;
    const c = {
      x: Float64Array.from({ length: n }, (_, i) => i), y: Float64Array.from({ length: n }, (_, i) => 10 * (i % 2)),
      t: new Float64Array(n), p: null,
    };
    same(thin(c, n, 200), n, 'nothing to thin');
    const left = thin(c, n, 60);
    holds(left <= 60, 'it must fit all the same');
    same([c.x[0], c.x[left - 1]], [0, 100], 'ends');
  },

  'points far away come within reach'() {
    const sheet = { width: 297, height: 210 };
    const roll = dice(3);
    for (let i = 0; i < 2000; i++) {
      const p = { x: roll(4000) - 2000, y: roll(4000) - 2000 };
      const q = { ...p };
      reach(q, sheet);
      const dx = Math.max(0, -q.x, q.x - 297), dy = Math.max(0, -q.y, q.y - 210);
      holds(Math.hypot(dx, dy) <= 3 * 297, `${p.x}, ${p.y}`);
      if (p.x > -800 && p.x < 1000 && p.y > 0 && p.y < 210) same(q, p, 'what is near stays');
    }
  },

  'a line turns, stretches and ends where it is told'() {
    let l = line.startedAt({ x: 10, y: 20 });
    for (let i = 0; i < 3600; i++) l = line.turned(l, 0.1);
    same(l.angle, 0, 'once around in tenths');
    same(line.turned(line.turned(l, 179.5), 1).angle, -179.5, 'past the half turn');
    same(line.stretched(l, -1000).length, 1, 'shortest');
    const roll = dice(5);
    for (let i = 0; i < 500; i++) {
      const p = { x: roll(297), y: roll(210) };
      if (Math.hypot(p.x - 10, p.y - 20) < 1) continue;
      const e = line.end(line.endingAt(l, p));
      near(Math.hypot(e.x - p.x, e.y - p.y), 0, 1e-9, 'end');
    }
    same(line.endingAt(l, { x: 10.5, y: 20 }), l, 'no line from a point to itself');
  },

  'words say length and direction'() {
    const l = { ...line.startedAt({ x: 0, y: 0 }), length: 41 };
    const say = (/** @type {number} */ angle) => line.words({ ...l, angle });
    same([0, 32.5, 90, 147.5, 180, -32.5, -90, -147.5].map(say), [
      '41.0 mm, level to the right.', '41.0 mm, 32.5° down to the right.', '41.0 mm, straight down.',
      '41.0 mm, 32.5° down to the left.', '41.0 mm, level to the left.', '41.0 mm, 32.5° up to the right.',
      '41.0 mm, straight up.', '41.0 mm, 32.5° up to the left.',
    ], 'words');
  },

  'starts are the given points and the ends of lines, each once'() {
    const doc = { corners: [[10, 10], null, [50, 10]], targets: [] };
    const lines = [straight('edge', 'mouse', { x: 10.3, y: 10.2, t: 0 }, { x: 10, y: 80, t: 1 })];
    same(line.starts(doc, lines).map((s) => [s.x, s.y, s.what]),
      [[10, 10, 'given corner'], [50, 10, 'given corner'], [10, 80, 'end of line 1']], 'finish');
    same(line.starts({ targets: [{ a: [1, 2], b: [30, 40] }] }, []).map((s) => s.what),
      ['pair 1, first dot', 'pair 1, second dot'], 'join');
    const aim = {
      corners: null, targets: [{ a: [1, 2], b: null, shown: [true, false] }, { a: null, b: [60, 60], shown: [false, true] }],
      lines: [{ id: 'l0', role: 'stop', a: [90, 10], b: [90, 100] }],
      edges: [{ id: 'e0', given: true, corners: [0, 1], drawn: [[10, 10], [40, 12]] }],
    };
    same(line.starts(aim, []).map((s) => [s.x, s.y, s.what]), [
      [10, 10, 'end of a given edge'], [40, 12, 'end of a given edge'], [90, 10, 'end of a given line'],
      [90, 100, 'end of a given line'], [1, 2, 'dot 1'], [60, 60, 'dot 2'],
    ], 'hidden ends are no starts');
  },

  'ids are UUIDs of version 7'() {
    // The example of RFC 9562, appendix A.6, from memory.
    const random = Uint8Array.of(0, 0, 0, 0, 0, 0, 0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f);
    same(uuid7(0x017f22e279b0, random), '017f22e2-79b0-7cc3-98c4-dc0c0c07398f', 'example');
    holds(uuid7(1000) < uuid7(2000), 'later ids come later');
    holds(uuid7(1000) !== uuid7(1000), 'no two are the same');
  },

  'an attempt names the pointer of most lines'() {
    same(pointerOf([]), 'mouse', 'none');
    same(pointerOf([stroke(1), stroke(2, 'pen'), stroke(3, 'pen')]), 'pen', 'most');
    same(pointerOf([stroke(1), stroke(2, 'touch')]), 'touch', 'free-hand first');
    const doc = JSON.parse(attempt([stroke(1), { ...stroke(2, 'pen'), p: Float64Array.of(0.1, 0.2) }, stroke(3, 'pen')]));
    same(doc.strokes.map((/** @type {any} */ s) => [s.by, s.p]), [['ruler', undefined], [undefined, [0.1, 0.2]], [undefined, undefined]], 'by and p');
  },

  'an attempt fits into what the server takes'() {
    const s = new Samples();
    for (let i = 0; i < MAX_SAMPLES; i++) s.add(i / 20, 50 + 20 * Math.sin(i / 300), 8 * i, (i % 100) / 100);
    const big = Array.from({ length: 100 }, () => s.stroke('edge', 'pen'));
    const text = attempt(big);
    holds(text.length <= 2_000_000 && text.length > 500_000, `${text.length} bytes`);
    same(big[0].x.length, MAX_SAMPLES, 'the drawing itself is left alone');
  },

  'a replay keeps the speed and shortens the pauses'() {
    const s = [stroke(0), stroke(2), stroke(100)];
    same(schedule(s), [0, 200, 740], 'begins');
    same(restored(JSON.parse(JSON.stringify({ ...s[0], x: [0, 0], y: [1, 50], t: [0, 40] }))).t.length, 2, 'restored');
  },

  'rests are due after 20 and 45 minutes, and a pause is one'() {
    const minute = 60_000;
    let p = counted(null, 0, 0), seen = [];
    for (let t = 0; t <= 60 * minute; t += 15_000) {
      p = counted(p, t, t);
      const d = due(p);
      if (d) {
        seen.push([d, t / minute]);
        p = { ...p, closed: p.ms };
      }
    }
    same(seen, [['soft', 20], ['strong', 45]], 'hints');
    same(counted(p, p.last + 16 * minute, p.last + 16 * minute).ms, 0, 'after a pause');
    same(counted(p, p.last + 2 * minute, p.last).ms, p.ms, 'idle');
  },

  async 'the small store takes all changes or none'() {
    const storage = new Map();
    let room = 3;
    const store = local.open({
      get length() { return storage.size; },
      key: (i) => [...storage.keys()][i],
      getItem: (k) => storage.get(k) ?? null,
      setItem(k, v) {
        if (!storage.has(k) && storage.size >= room) throw new Error('full');
        storage.set(k, v);
      },
      removeItem: (k) => void storage.delete(k),
    });
    await store.write([{ shelf: 'drafts', key: 'a', value: 1 }, { shelf: 'outbox', key: 'b', value: { x: Float64Array.of(1, 2) } }]);
    const full = await store.write([{ shelf: 'drafts', key: 'a', value: 2 }, { shelf: 'outbox', key: 'c', value: 3 }, { shelf: 'outbox', key: 'd', value: 4 }])
      .then(() => false, () => true);
    holds(full, 'it must say that it is full');
    same([await store.get('drafts', 'a'), await store.all('outbox')], [1, [{ x: [1, 2] }]], 'kept');
  },

  async 'the outbox tells taken, later and refused apart'() {
    const real = globalThis.fetch;
    const entry = (/** @type {string} */ id) => ({ attempt: id, exercise: `x-${id}`, submit: '/s', body: '{}', made: 1 });
    const draft = (/** @type {string} */ id) => ({ exercise: `x-${id}`, startedAt: 1, shown: 1, done: [{ add: stroke(1) }], undone: [] });
    const json = (/** @type {number} */ status, /** @type {unknown} */ o) => new Response(JSON.stringify(o), { status });
    const problem = (/** @type {number} */ status) => new Response('{"detail":"times must not fall"}', {
      status, headers: { 'Content-Type': 'application/problem+json' },
    });
    /** @type {[string, () => Response, string][]} */
    const table = [
      ['taken', () => json(201, { attempt: 'taken' }), 'done'],
      ['again', () => json(200, { attempt: 'again' }), 'done'],
      ['portal', () => new Response('<h1>Log in</h1>', { status: 200 }), 'later'],
      ['other', () => json(200, { attempt: 'somebody' }), 'later'],
      ['down', () => { throw new TypeError('no connection'); }, 'later'],
      ['busy', () => json(503, {}), 'later'],
      ['slow', () => json(408, {}), 'later'],
      ['often', () => new Response('', { status: 429, headers: { 'Retry-After': '7' } }), 'later'],
      ['wrong', () => problem(422), 'refused'],
      ['gone', () => problem(404), 'refused'],
      ['no way', () => new Response('<h1>No such site</h1>', { status: 404 }), 'later'],
      ['shut', () => json(403, { detail: 'Log in first.' }), 'later'],
      ['narrow', () => new Response('<h1>Too large</h1>', { status: 413 }), 'refused'],
    ];
    try {
      for (const [id, answer, want] of table) {
        globalThis.fetch = async () => answer();
        const { outcome, stored } = await outbox.handIn(entry(id), draft(id));
        same(outcome.kind, want, id);
        holds(stored, `${id} is kept on the device first`);
        const waiting = (await vault.entries()).find((e) => e.attempt === id);
        same(!!waiting, want !== 'done', `${id} in the outbox`);
        same(waiting?.refused !== undefined, want === 'refused', `${id} is not sent again`);
        same(!!(await vault.draft(`x-${id}`)), want !== 'done', `draft of ${id}`);
        if (outcome.kind === 'later') same(outcome.waitMS, id === 'often' ? 7000 : 0, `wait of ${id}`);
      }
    } finally {
      globalThis.fetch = real;
    }
  },
};

/** @param {Stroke[]} strokes */
const attempt = (strokes) => attemptJSON({
  attempt: uuid7(1), exercise: 'x', startedAt: 1_900_000_000_000, pxPerMM: 3.14159, strokes,
});

/** @type {Record<string, string>} */
const results = {};
for (const [name, run] of Object.entries(tests)) {
  try {
    await run();
    results[name] = '';
  } catch (fault) {
    results[name] = String(fault instanceof Error ? fault.stack : fault);
  }
}
const mixed = new Samples();
for (let i = 0; i < 300; i++) mixed.add(20 + i / 3, 30 + i / 7, 1234.56 + 4.17 * i, 0.2 + i / 1000);
// @ts-ignore the test's own window reads it
globalThis.unit = { results, document: attempt([mixed.stroke('edge', 'pen'), mixed.stroke('construction', 'touch'), stroke(4, 'twotap')]) };
