// @ts-check
// On every page: what an earlier page kept on the device is handed in.
import { onSettled, keepTrying } from './outbox.js';
import { say } from './status.js';

onSettled((entry, outcome) => {
  const desk = document.getElementById('desk');
  if (desk && desk.dataset.exercise === entry.exercise) return; // that page speaks for itself
  if (outcome.kind === 'done') {
    const links = [{ words: 'See its redline', address: `/attempts/${entry.attempt}` }];
    // What this page shows was counted before.
    if (document.body.dataset.page === 'progress') links.push({ words: 'Count it here', address: location.pathname + location.search });
    say('The drawing kept on this device has been handed in.', ...links);
  }
  if (outcome.kind === 'refused') {
    say(`A drawing kept on this device was not taken: ${outcome.detail} It stays on this device.`);
  }
});
keepTrying();
