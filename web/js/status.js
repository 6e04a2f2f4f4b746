// @ts-check
// The one status line of a page.

/**
 * Shows words in the status line, which assistive technology reads out; ''
 * empties it. Pages without a status line stay silent.
 * @param {string} words
 */
export function say(words) {
  const line = document.getElementById('status');
  if (line && line.textContent !== words) line.textContent = words;
}
