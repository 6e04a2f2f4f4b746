// @ts-check
// The page of a handed-in attempt: the redline's layers and the replay.
import { Paper } from './paper.js';
import { useRedline } from './redline.js';

const desk = document.getElementById('desk');
const board = document.getElementById('board');
const paper = document.getElementById('paper');
const svg = paper?.querySelector('svg');
if (desk && board && paper && svg) {
  const { width, height } = svg.viewBox.baseVal;
  useRedline(desk, new Paper(board, paper, { width, height }));
}
