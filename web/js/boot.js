// Runs in the page's head, before anything is painted: the learner's own
// settings, the time zone for the bounds of days, and the module that every
// page needs. A classic script, so that nothing is shown in the wrong colours.
(function () {
  'use strict';
  var root = document.documentElement;

  try {
    var theme = localStorage.getItem('boxwright.theme');
    if (theme === 'light' || theme === 'dark') root.setAttribute('data-theme', theme);
    if (localStorage.getItem('boxwright.hand') === 'left') root.setAttribute('data-hand', 'left');
  } catch (e) { /* storage is closed to the page: the defaults hold */ }

  try {
    var zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
    var cookie = 'tz=' + zone;
    if (/^[A-Za-z0-9_+\/-]{1,64}$/.test(zone) && document.cookie.split('; ').indexOf(cookie) < 0) {
      document.cookie = cookie + '; Path=/; Max-Age=34560000; SameSite=Lax' +
        (location.protocol === 'https:' ? '; Secure' : '');
    }
  } catch (e) { /* days are then counted in UTC */ }

  var here = document.currentScript;
  if (here && 'src' in here) {
    var site = document.createElement('script');
    site.type = 'module';
    site.src = new URL('site.js', here.src).href;
    document.head.appendChild(site);
  }
})();
