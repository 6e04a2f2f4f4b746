// @ts-check
// A guide, step by step. All steps are in the page, so a step is a change of
// classes; the addresses of buttons and zones are those that work without a
// script, too.

const main = document.getElementById('main');
const sentence = document.getElementById('sentence');
const number = document.getElementById('step');

if (main && sentence && number) {
  const layers = [...main.querySelectorAll('#paper .layer.step')];
  const said = [...main.querySelectorAll('.panels li > p')].map((p) => p.textContent ?? '');
  const ways = /** @type {HTMLAnchorElement[]} */ ([...main.querySelectorAll('a[data-go]')]);
  const here = /** @type {HTMLAnchorElement[]} */ ([...main.querySelectorAll('#wall, #leave, #black, #light')]);
  const light = document.getElementById('light');
  const last = said.length;

  const shown = () => Number(main.dataset.step);

  /** The page's own address with another step.
   * @param {number} n @param {string} [from] */
  const address = (n, from = location.href) => {
    const a = new URL(from);
    a.searchParams.set('step', String(n));
    return a.href;
  };

  /** @param {boolean} on */
  const black = (on) => {
    if (!light) return;
    main.toggleAttribute('data-black', on);
    light.hidden = !on;
    if (on) light.focus();
    else main.focus();
    const a = new URL(location.href);
    a.searchParams.delete('black');
    history.replaceState(null, '', a);
  };

  /** @param {number} n */
  const show = (n) => {
    n = Math.min(last, Math.max(1, n));
    if (n === shown()) return;
    main.dataset.step = String(n);
    layers.forEach((l, i) => l.setAttribute('class', `layer step ${i + 1 < n ? 'old' : i + 1 === n ? 'new' : 'later'}`));
    number.textContent = String(n);
    sentence.textContent = said[n - 1];
    history.replaceState(null, '', address(n));
    for (const a of ways) {
      const to = n + Number(a.dataset.go);
      const there = to >= 1 && to <= last;
      if (there) a.href = address(to);
      else a.removeAttribute('href');
      if (!a.classList.contains('walk')) continue;
      // A link that leads nowhere keeps the focus, but says so.
      a.toggleAttribute('aria-disabled', false);
      a.removeAttribute('role');
      a.removeAttribute('tabindex');
      if (!there) {
        a.setAttribute('role', 'link');
        a.setAttribute('aria-disabled', 'true');
        a.tabIndex = 0;
      }
    }
    for (const a of here) a.href = address(n, a.href);
  };

  for (const a of ways) {
    a.addEventListener('click', (e) => {
      if (e.ctrlKey || e.metaKey || e.shiftKey) return;
      e.preventDefault();
      show(shown() + Number(a.dataset.go));
    });
  }

  for (const [id, on] of /** @type {[string, boolean][]} */ ([['black', true], ['light', false]])) {
    document.getElementById(id)?.addEventListener('click', (e) => {
      e.preventDefault();
      black(on);
    });
  }

  /** Keys that are no letters go step by step wherever the focus is, but for
   * fields that use them.
   * @type {{[key: string]: (n: number) => number}} */
  const steps = {
    ArrowRight: (n) => n + 1, PageDown: (n) => n + 1,
    ArrowLeft: (n) => n - 1, PageUp: (n) => n - 1,
    Home: () => 1, End: () => last,
  };

  document.addEventListener('keydown', (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey || e.defaultPrevented) return;
    if (e.target instanceof Element && e.target.closest('input, select, textarea')) return;
    const dark = main.hasAttribute('data-black');
    if (e.key === 'Escape' && light) {
      e.preventDefault();
      if (dark) black(false);
      else document.getElementById('leave')?.click();
      return;
    }
    const go = steps[e.key];
    if (!go || dark) return;
    e.preventDefault();
    show(go(shown()));
  });

  // A letter is a command only while the focus is in the guide.
  main.addEventListener('keydown', (e) => {
    if (e.key.toLowerCase() !== 'b' || e.ctrlKey || e.metaKey || e.altKey || !light) return;
    e.preventDefault();
    black(!main.hasAttribute('data-black'));
  });
  if (light) main.focus();
}
