/** The ladder while it runs: where on it, how much of the row is there, how many tries are left, what comes next. */

import { fill, html, say, show } from "../ui/html.js";
import { beatsOf, rowWords, tempoWords, triesWords } from "./words.js";
import { rungsView } from "./rungs.js";

const MOST_PIPS = 12;
const PIP = 26;

/** A dot for each rep of the row, those that are there filled; nothing for a row that is too long to be counted at a glance. */
export function pips({ row, rule }) {
  if (rule.in_a_row > MOST_PIPS) return html``;
  const dots = Array.from(
    { length: rule.in_a_row },
    (_, index) => html`<circle class="${index < row ? "pip full" : "pip"}" cx="${(index + 0.5) * PIP}" cy="13" r="9"></circle>`,
  );
  return html`<svg viewBox="0 0 ${rule.in_a_row * PIP} 26" aria-hidden="true">${dots}</svg>`;
}

/** The row, with the rep whose verdict is there and whose close is to come: sentence and ladder say one thing. Pure. */
export const rowNow = ({ ladder, provisional, in_a_row }) =>
  provisional && ladder.phase !== "over" ? Math.min(in_a_row, ladder.rule.in_a_row) : ladder.row;

function next(words, where, click_bpm, toBeat) {
  if (!where) return html``;
  const beats = click_bpm === null || toBeat === 1 ? "" : html` <small>(${tempoWords(beatsOf(click_bpm, toBeat))} beats)</small>`;
  return html`<div><dt>${words}</dt><dd>${where}${beats}</dd></div>`;
}

/** draw(run or null, toBeat). */
export function climbView(find) {
  const rungs = rungsView(find("#rungs"));
  return (run, toBeat) => {
    const ladder = run?.ladder ? { ...run.ladder, row: rowNow(run) } : null;
    show(find("#climb"), ladder !== null);
    find("#practise").classList.toggle("climbs", ladder !== null);
    if (ladder === null) return;
    find("#climb").classList.toggle("over", run.ended);
    rungs(ladder, toBeat);
    say(find("#climb-clicks"), tempoWords(ladder.click_bpm));
    say(find("#climb-beats"), `${tempoWords(beatsOf(ladder.click_bpm, toBeat))} beats`);
    fill(find("#climb-pips"), pips(ladder));
    say(find("#climb-row"), rowWords(ladder));
    say(find("#climb-tries"), triesWords(ladder));
    const ways = [
      next("full row", ladder.full_row, ladder.full_row_bpm, toBeat),
      next("if not", ladder.no_row, ladder.no_row_bpm, toBeat),
    ];
    fill(find("#climb-next"), run.ended ? html`` : html`${ways}`);
  };
}
