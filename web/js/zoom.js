// @ts-check
// The board shown smaller, so that what lies far off the sheet comes into the
// window. Drawing goes by the sheet's millimetres and works at any size.

/** @typedef {import('./paper.js').Paper} Paper */
/** @typedef {{x: number, y: number}} Place */

const STEP = 1.45;
/** So many sheet widths beside, above and below the sheet can be shown. */
const WIDTHS = 3;

/**
 * @param {Paper} paper
 * @param {() => void} changed
 */
export function makeZoom(paper, changed) {
  let zoom = 1;
  let away = false; // the sheet does not lie where it lies by itself

  /** The smallest size there is need for. */
  const least = () => {
    const { width, height } = paper.sheet;
    const mm = paper.pxPerMM / zoom; // px per mm at full size
    const { clientWidth: w, clientHeight: h } = paper.board;
    return Math.min(1, w / ((2 * WIDTHS + 1) * width * mm), h / ((2 * WIDTHS * width + height) * mm));
  };

  /** @param {string} name @param {string} value */
  const set = (name, value) => paper.paper.style.setProperty(name, value);

  /**
   * @param {number} to
   * @param {Place | null} centre what shall lie in the board's middle; null:
   *   the sheet, which at full size lies where it always does
   */
  const show = (to, centre) => {
    zoom = to;
    away = zoom < 1 || !!centre;
    set('--zoom', String(zoom));
    set('--pan', '0px 0px');
    paper.measure();
    if (away) {
      const { width, height } = paper.sheet;
      const at = centre ?? { x: width / 2, y: height / 2 };
      const board = paper.board.getBoundingClientRect();
      const x = board.left + board.width / 2 - (paper.left + at.x * paper.pxPerMM);
      const y = board.top + board.height / 2 - (paper.top + at.y * paper.pxPerMM);
      set('--pan', `${Math.round(x)}px ${Math.round(y)}px`);
      paper.measure();
    }
    changed();
  };

  return {
    get away() {
      return away;
    },
    canShrink: () => zoom > least() * 1.001,
    canGrow: () => zoom < 1,
    smaller() {
      if (zoom > least() * 1.001) show(Math.max(least(), zoom / STEP), null);
    },
    /** @param {Place | null} centre */
    larger(centre) {
      if (zoom < 1) show(Math.min(1, zoom * STEP), centre);
    },
    home: () => show(1, null),
  };
}
