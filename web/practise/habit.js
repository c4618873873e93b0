/** The last dozen reps as small strips under one another, newest first, so that a habit shows. */

import { html } from "../ui/html.js";
import { beat_ms } from "./reading.js";
import { windowOf } from "./sequence.js";
import { repSentence, repWord, side, whole } from "../ui/words.js";

const WIDTH = 120;
const HEIGHT = 20;

/** The bars of one rep, whose ornament's beat was at `at_ms`, within the window: {x, width, kind}. Pure; x from 0 to WIDTH. */
function smallBars(rep, { from, to }, at_ms) {
  const x = (ms) => Math.min(Math.max(((ms - from) / (to - from)) * WIDTH, 0), WIDTH);
  const heard = rep.steps.filter((step) => step.onset_ms !== null);
  return heard.map((step, index) => {
    const start = step.onset_ms - at_ms;
    const next = heard[index + 1] ? heard[index + 1].onset_ms - at_ms : to;
    const end = step.length_ms === null ? next : start + step.length_ms;
    return { x: x(start), width: Math.max(x(end) - x(start) - 0.8, 1), kind: step.kind === "theme" ? "soft" : "" };
  });
}

/** Where the beat is within the width. */
const beatX = ({ from, to }) => (-from / (to - from)) * WIDTH;

function placeWord(rep, on_beat_ms) {
  if (rep.anchor_ms === null) return html``;
  const of = side(rep.anchor_ms, on_beat_ms);
  return html`<span class="place ${of}">${whole(rep.anchor_ms)} ${of}</span>`;
}

function row(rep, run, picked) {
  const span = windowOf(run.sequence);
  const bars = smallBars(rep, span, beat_ms(run, rep.rep)).map(
    (bar) =>
      html`<rect
        class="bar ${bar.kind}"
        x="${bar.x.toFixed(1)}"
        y="3"
        width="${bar.width.toFixed(1)}"
        height="14"
        rx="2"
      ></rect>`,
  );
  const x = beatX(span).toFixed(1);
  const option = picked
    ? html`role="option" data-rep="${rep.rep}" aria-selected="${rep === picked}" tabindex="${rep === picked ? 0 : -1}"`
    : "";
  return html`<li class="rep ${rep.skipped ? "rest" : rep.clean ? "clean" : "unclean"}" ${option}>
    <span class="verdict-word">${repWord(rep)}</span>
    <svg viewBox="0 0 ${WIDTH} ${HEIGHT}" preserveAspectRatio="none" role="img" aria-label="${repSentence(rep, run.on_beat_ms)}">
      ${bars}
      <line class="beat" x1="${x}" x2="${x}" y1="0" y2="${HEIGHT}"></line>
    </svg>
    ${placeWord(rep, run.on_beat_ms)}
  </li>`;
}

/** How many rows there are at most. */
const ROWS = 12;

/**
 * The list, newest first, as markup; with a rep that is picked, the rows are options to pick from.
 *
 * While a ladder goes on, the reps at its earlier tempi follow.
 */
export function habit(run, picked = null) {
  const now = run.reps.toReversed().map((rep) => row(rep, run, picked));
  const before = picked ? [] : (run.earlier ?? []).toReversed().map(({ rep, of }) => row(rep, { ...of, reps: [rep], readings: {} }, null));
  return html`${[...now, ...before].slice(0, ROWS)}`;
}
