// @ts-check
// The one status line of a page.

/**
 * A link at the end of the words.
 * @typedef {{words: string, address: string}} Link
 */

/**
 * Shows words in the status line, which assistive technology reads out; ''
 * empties it. Pages without a status line stay silent.
 * @param {string} words
 * @param {...Link} links
 */
export function say(words, ...links) {
  const line = document.getElementById('status');
  if (!line || (links.length === 0 && line.textContent === words)) return;
  line.textContent = words;
  for (const l of links) {
    const a = document.createElement('a');
    a.href = l.address;
    a.textContent = l.words;
    line.append(' ', a);
  }
}
