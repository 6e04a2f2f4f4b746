// @ts-check
// On every page: what an earlier page kept on the device is handed in.
import { onSettled, keepTrying } from './outbox.js';
import { say } from './status.js';

onSettled((entry, outcome) => {
  const desk = document.getElementById('desk');
  if (desk && desk.dataset.exercise === entry.exercise) return; // that page speaks for itself
  if (outcome.kind === 'done') say('The drawing kept on this device has been handed in.');
  if (outcome.kind === 'refused') {
    say(`A drawing kept on this device was not taken: ${outcome.detail} It stays on this device.`);
  }
});
keepTrying();
