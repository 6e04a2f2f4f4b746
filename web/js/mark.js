// @ts-check
// Answers that are no lines: a vanishing point, the horizon, an edge that
// breaks the rule. Marks are values; nothing here knows what is right.
// Coordinates are millimetres on the sheet, angles degrees as in line.js.
import { reach, round2 } from './stroke.js';

/** @typedef {import('./stroke.js').Pointer} Pointer */
/** @typedef {import('./stroke.js').Sheet} Sheet */
/**
 * A point is at a place; the horizon runs through at, level or, with to,
 * through that place too; a stray edge is told by its id. pointer: what it
 * was set with.
 * @typedef {{for: string, at?: [number, number], to?: [number, number], edge?: string, pointer: Pointer}} Mark
 */
/** @typedef {{x: number, y: number}} Place */

export const HORIZON = 'horizon';
export const STRAY = 'stray';

/** Two places on the horizon nearer to each other than this are one. */
const SAME = 5;
/** How far from at the second place is put when the horizon is turned. */
const ARM = 100;

/** What a mark answers: there is one mark for each key.
 * @param {Pick<Mark, 'for' | 'edge'>} m */
export const keyOf = (m) => (m.edge === undefined ? m.for : `${m.for} ${m.edge}`);

/**
 * The marks with the one of a key replaced, or without it; always in the
 * order of their keys.
 * @param {readonly Mark[]} marks
 * @param {string} key
 * @param {Mark | null} mark
 * @returns {readonly Mark[]}
 */
export function withMark(marks, key, mark) {
  const others = marks.filter((m) => keyOf(m) !== key);
  if (!mark) return others;
  const i = others.findIndex((m) => keyOf(m) > key);
  return i < 0 ? [...others, mark] : [...others.slice(0, i), mark, ...others.slice(i)];
}

/** @param {Place} p @param {Sheet} sheet @returns {[number, number]} */
function near(p, sheet) {
  const at = { x: p.x, y: p.y };
  reach(at, sheet);
  return [round2(at.x), round2(at.y)];
}

/** @param {string} id @param {Place} p @param {Pointer} pointer @param {Sheet} sheet @returns {Mark} */
export const pointAt = (id, p, pointer, sheet) => ({ for: id, at: near(p, sheet), pointer });

/** @param {string} edge @param {Pointer} pointer @returns {Mark} */
export const strayEdge = (edge, pointer) => ({ for: STRAY, edge, pointer });

/**
 * The horizon after a tap: a level line through the first place; through both
 * places after a second one; after that, the nearer of the two moves.
 * @param {Mark | null} old
 * @param {Place} p
 * @param {boolean} level it stays level, whatever is tapped
 * @param {Pointer} pointer
 * @param {Sheet} sheet
 * @returns {Mark}
 */
export function horizonAt(old, p, level, pointer, sheet) {
  const place = near(p, sheet);
  if (!old?.at || level) return { for: HORIZON, at: place, pointer };
  const { at, to } = old;
  const d = Math.hypot(at[0] - p.x, at[1] - p.y);
  if (!to) return d < SAME ? { ...old, at: place, pointer } : { ...old, to: place, pointer };
  const moveAt = d < Math.hypot(to[0] - p.x, to[1] - p.y);
  const [still, end] = moveAt ? [to, 'at'] : [at, 'to'];
  if (Math.hypot(still[0] - p.x, still[1] - p.y) < SAME) return old;
  return { ...old, [end]: place, pointer };
}

/** The mark moved. @param {Mark} m @param {number} dx @param {number} dy @param {Sheet} sheet @returns {Mark} */
export function nudged(m, dx, dy, sheet) {
  if (!m.at) return m;
  const moved = { ...m, at: near({ x: m.at[0] + dx, y: m.at[1] + dy }, sheet) };
  if (m.to) moved.to = near({ x: m.to[0] + dx, y: m.to[1] + dy }, sheet);
  return moved;
}

/** The horizon turned about its first place. @param {Mark} m @param {number} by clockwise @returns {Mark} */
export function turned(m, by) {
  if (!m.at) return m;
  const a = ((tilt(m) + by) * Math.PI) / 180;
  return { ...m, to: [round2(m.at[0] + ARM * Math.cos(a)), round2(m.at[1] + ARM * Math.sin(a))] };
}

/** The horizon's angle, from level, in (-90, 90]. @param {Mark} m */
export function tilt({ at, to }) {
  if (!at || !to) return 0;
  let a = (Math.atan2(to[1] - at[1], to[0] - at[0]) * 180) / Math.PI;
  if (a > 90) a -= 180;
  if (a <= -90) a += 180;
  return a;
}

/** The line ax + by + c = 0 of the horizon, with a² + b² = 1 and b > 0, or
 * b = 0 and a > 0. @param {Mark} m @returns {[number, number, number]} */
export function lineOf({ at = [0, 0], to }) {
  const [x, y] = at;
  let dx = to ? to[0] - x : 1, dy = to ? to[1] - y : 0;
  const l = Math.hypot(dx, dy);
  if (l === 0) return [0, 1, -y];
  dx /= l;
  dy /= l;
  let a = -dy, b = dx;
  if (b < 0 || (b === 0 && a < 0)) [a, b] = [-a, -b];
  return [a === 0 ? 0 : a, b, -(a * x + b * y)];
}

/** A mark as the attempt document tells it. @param {Mark} m */
export function markObject(m) {
  if (m.edge !== undefined) return { for: m.for, edge: m.edge };
  if (m.for !== HORIZON) return { for: m.for, at: [...(m.at ?? [0, 0]), 1] };
  const [a, b, c] = lineOf(m);
  return { for: m.for, line: [a, b, round2(c)] };
}

/** What is said of a mark: where it is, never how far off.
 * @param {Mark} m */
export function markWords(m) {
  if (!m.at) return '';
  if (m.for !== HORIZON) return `${m.at[0].toFixed(1)} mm across, ${m.at[1].toFixed(1)} mm down`;
  const t = tilt(m);
  const way = Math.abs(t) < 0.05 ? 'level' : `${Math.abs(t).toFixed(1)}° ${t > 0 ? 'down' : 'up'} to the right`;
  return `${way}, through ${m.at[1].toFixed(1)} mm down`;
}
