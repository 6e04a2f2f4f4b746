// @ts-check
// How marks look on the sheet and the board: one picture over the paper, in
// millimetres like the sheet's own. Rings, crosses and letters keep their size
// in pixels however large the sheet is shown.

/** @typedef {import('./paper.js').Paper} Paper */
/** @typedef {{x: number, y: number}} Place */
/**
 * Something to show. ring: a place with a name; wide: it is being dragged, and
 * its cross reaches out from under the finger. level: a line across the board.
 * edge: an edge picked out, as 'stray', 'current' or in its set's look.
 * @typedef {{kind: 'ring', at: [number, number], look: string, name: string, chosen: boolean, wide?: boolean}
 *   | {kind: 'level', line: [number, number, number], look: string}
 *   | {kind: 'edge', a: Place, b: Place, look: string}} Item
 */

const SVG = 'http://www.w3.org/2000/svg';
const RING_PX = 9;
const CROSS_PX = 5;
const WIDE_PX = 64;
/** A line across the board is drawn to this many sheet widths. */
const ACROSS = 14;

/**
 * @param {string} name
 * @param {Record<string, string | number>} attributes
 * @param {...(Node | string)} inside
 */
function node(name, attributes, ...inside) {
  const e = document.createElementNS(SVG, name);
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, String(v));
  e.append(...inside);
  return e;
}

/**
 * @param {Paper} paper
 * @returns {{show(items: Item[]): void, remove(): void}}
 */
export function makeMarkView(paper) {
  const { width, height } = paper.sheet;
  const picture = /** @type {SVGSVGElement} */ (node('svg', { class: 'marks', viewBox: `0 0 ${width} ${height}`, 'aria-hidden': 'true' }));
  paper.paper.append(picture);
  const far = ACROSS * width;
  const around = `M${-far} ${-far}H${far + width}V${far + height}H${-far}Z`;
  const clips = node('defs', {},
    node('clipPath', { id: 'marks-sheet' }, node('rect', { width, height })),
    node('clipPath', { id: 'marks-board' }, node('path', { d: `${around}M0 0H${width}V${height}H0Z`, 'clip-rule': 'evenodd' })));
  picture.append(clips);

  /** Millimetres of one pixel; on large screens, of one and more. */
  const pixel = () => parseFloat(getComputedStyle(document.documentElement).fontSize) / 16 / paper.pxPerMM;

  /** @param {number} x @param {number} y */
  const ground = (x, y) => (x < 0 || y < 0 || x > width || y > height ? ' on-board' : '');

  /** @param {Extract<Item, {kind: 'ring'}>} i */
  const ring = (i) => {
    const [x, y] = i.at;
    const arm = i.wide ? WIDE_PX : CROSS_PX;
    // The name stands where the window has room for it.
    const left = paper.left + x * paper.pxPerMM > innerWidth - 130;
    const g = node('g', { class: `mark ${i.look}${ground(x, y)}${i.chosen ? ' chosen' : ''}`, transform: `translate(${x} ${y}) scale(${pixel()})` },
      node('circle', { r: RING_PX }),
      node('path', { d: `M${-arm} 0H${arm}M0 ${-arm}V${arm}` }));
    if (i.name) g.append(node('text', { x: left ? -8 : 8, y: -16, 'text-anchor': left ? 'end' : 'start' }, i.name));
    return g;
  };

  /** @param {Extract<Item, {kind: 'level'}>} i */
  const level = (i) => {
    const [a, b, c] = i.line;
    // The point of the line nearest to the sheet's middle, and both ways from it.
    const d = a * width / 2 + b * height / 2 + c;
    const x = width / 2 - d * a, y = height / 2 - d * b;
    const ends = { x1: x - far * b, y1: y + far * a, x2: x + far * b, y2: y - far * a };
    return node('g', { class: `mark-level ${i.look}` },
      node('line', { class: 'on-board', ...ends, 'clip-path': 'url(#marks-board)' }),
      node('line', { ...ends, 'clip-path': 'url(#marks-sheet)' }));
  };

  /** @param {Extract<Item, {kind: 'edge'}>} i */
  const edge = ({ a, b, look }) => {
    const g = node('g', { class: `picked ${look}` }, node('line', { x1: a.x, y1: a.y, x2: b.x, y2: b.y }));
    const k = pixel();
    if (look === 'stray') {
      g.append(node('path', { d: 'M-7-7 7 7M7-7-7 7', transform: `translate(${(a.x + b.x) / 2} ${(a.y + b.y) / 2}) scale(${k})` }));
    }
    if (look === 'current') for (const p of [a, b]) g.append(node('circle', { cx: p.x, cy: p.y, r: 7 * k }));
    return g;
  };

  return {
    show(items) {
      picture.style.setProperty('--px', String(pixel()));
      picture.replaceChildren(clips, ...items.map((i) => (i.kind === 'ring' ? ring(i) : i.kind === 'level' ? level(i) : edge(i))));
    },
    remove: () => picture.remove(),
  };
}
