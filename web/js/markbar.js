// @ts-check
// The bar over the title block that belongs to answers that are no lines: its
// words and its buttons.

/** @typedef {{id: string, words: string, short?: string, title?: string, path?: string, sample?: string}} Button */

const SVG = 'http://www.w3.org/2000/svg';

/** @param {string} box @param {string} kind @param {string} path */
function sign(box, kind, path) {
  const svg = document.createElementNS(SVG, 'svg');
  svg.setAttribute('class', kind);
  svg.setAttribute('viewBox', box);
  svg.setAttribute('aria-hidden', 'true');
  svg.setAttribute('focusable', 'false');
  const p = document.createElementNS(SVG, 'path');
  p.setAttribute('d', path);
  svg.append(p);
  return svg;
}

/**
 * Makes a button with words, and a sign or the sample of a dash beside them.
 * @param {Button} b
 */
export function makeButton({ id, words, title, path, sample }) {
  const e = document.createElement('button');
  e.type = 'button';
  e.id = id;
  if (title) e.title = title;
  if (sample) {
    e.classList.add(sample);
    e.append(sign('0 0 30 6', 'sample', 'M1 3h28'));
  }
  const word = document.createElement('span');
  word.textContent = words;
  if (path) {
    e.append(sign('0 0 24 24', 'icon', path));
    word.className = 'word';
  }
  e.append(word);
  return e;
}

/**
 * A row of buttons.
 * @param {string} name
 * @param {...HTMLButtonElement} buttons
 */
export function makeRow(name, ...buttons) {
  const row = document.createElement('div');
  row.className = `markrow ${name}`;
  row.append(...buttons);
  return row;
}

/**
 * Puts the bar before the title block.
 * @param {string} label
 * @param {...HTMLElement} rows
 */
export function makeBar(label, ...rows) {
  const bar = document.createElement('div');
  bar.id = 'markbar';
  bar.setAttribute('role', 'group');
  bar.setAttribute('aria-label', label);
  const said = document.createElement('output');
  said.id = 'marksay';
  bar.append(said, ...rows);
  document.getElementById('block')?.before(bar);
  return {
    bar,
    /** Leaves the bar's room empty, so that the sheet above it stays put. */
    leave() {
      bar.inert = true;
      bar.setAttribute('aria-hidden', 'true');
    },
    /** @param {string} words */
    say: (words) => {
      if (said.textContent !== words) said.textContent = words;
    },
  };
}
