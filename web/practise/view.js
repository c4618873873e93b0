/** The middle of the page: the strip or an empty state in its place, the verdict, the figures of the run. */

import { afterView } from "./run_summary.js";
import { lengths, placement } from "./figures.js";
import { fill, html, say, show } from "../ui/html.js";
import { heardSteps, repToPlay, repToShow } from "./reading.js";
import { markSteps } from "../ui/staff.js";
import { repLooked, runShown, running } from "../core/state.js";
import { COUNTED_IN } from "../ladder/words.js";
import { beatNow, stripView } from "./strip_view.js";
import { askedRep } from "../core/feedback_filter.js";
import { askedOf } from "./sequence.js";
import { walker } from "./beat_dot.js";
import { DASH, EMPTY, counting, offBy, stoppedWords, whole } from "../ui/words.js";

const LONG = 42;
const LONGER = 84;

/** Why there is no strip to draw: the name of an empty state, or null. Pure. */
function emptiness(state, seat) {
  if (!state.daemon) return state.link.state === "away" ? "away" : "connecting";
  if (!seat) return "players";
  if (runShown(seat)) return null;
  return seat.chanter.state === "ready" ? "idle" : seat.chanter.state;
}

/** How large the verdict is set, by its length. */
const sizeOf = (said) => (said.length > LONGER ? "small" : said.length > LONG ? "middle" : "large");

/** The smaller line: the other faults, or where the beat was. Pure. */
export function moreWords(rep) {
  const others = rep.faults.slice(1).map((fault) => fault.said);
  if (others.length > 0) return others.join(" ");
  return rep.anchor_ms === null ? "" : `On the beat: ${offBy(rep.anchor_ms)}.`;
}

/** How the tempo was kept in a run without the click, and what else there is to say at its end. Pure. */
function keptWords(run) {
  const [said, ...more] = run.continuation.said;
  return { said, more: [...more, run.feedback.said ?? ""].join(" ").trim() };
}

/** The sentence and the smaller line below it: the schedule's own, or those of the newest rep that may be shown. Pure. */
function verdictWords(run, looked = null) {
  if (looked) return { said: looked.said, more: moreWords(looked) };
  const last = run?.reps.at(-1) ?? null;
  if (run?.continuation) return keptWords(run);
  if (run?.doubt) return { said: run.doubt, more: last?.said ?? "" };
  const { said, more } = run?.feedback ?? { said: null, more: "" };
  if (said !== null) return { said, more };
  return { said: last?.said ?? "", more: last ? moreWords(last) : more || (run?.left_out ?? "") };
}

const figure = (told, main) =>
  told ? html`<b>${main}</b> <small>± ${whole(told.spread)} ms</small>` : html`<b>${DASH}</b>`;

function figuresView(find) {
  return (run) => {
    const reps = run?.reps.filter((rep) => !rep.skipped) ?? [];
    const where = placement(reps);
    const long = lengths(reps);
    fill(find("#placement"), figure(where, where && offBy(where.middle)));
    fill(find("#lengths"), figure(long, long && `${whole(long.middle)} ms`));
    say(find("#lengths-name"), `${long?.kind ?? "held"} notes`);
    fill(find("#clean"), html`<b>${run ? `${run.clean} of ${run.played}` : DASH}</b>`);
    fill(find("#in-a-row"), html`<b>${run ? run.in_a_row : DASH}</b>`);
  };
}

function emptyView(find) {
  return (name, seat) => {
    show(find("#empty"), name !== null);
    if (name === null) return;
    const [head, text] = EMPTY[name];
    say(find("#empty h2"), head);
    say(find("#empty p"), text ?? seat.chanter.said);
    show(find("#empty-input"), !["connecting", "away", "players", "idle"].includes(name));
  };
}

/** {said, more} of a ladder that has just led to another tempo or ended; null: the rep has the word. Pure. */
function ladderWords(run) {
  const ladder = run?.ladder ?? null;
  if (!ladder || !(run.ended || run.reps.length === 0)) return null;
  return { said: ladder.said, more: run.ended ? ladder.whole : COUNTED_IN };
}

/** Whether the staff shows what the rep that is drawn was asked for; up and down the scale it is ahead of it. */
const isOnStaff = (run, beat, looked) =>
  askedOf(run, repToPlay(run, beat)) === askedOf(run, looked?.rep ?? repToShow(run));

/**
 * draw(state, player, clock, page_ms, head_ms): all of the middle; `head_ms` is where a hearing has come to, or null.
 *
 * reveal(): on a small screen pass by as much of the page as is needed to read strip and verdict while playing.
 */
export function playView(find) {
  const strip = stripView(find("#strip"), find("#marks"));
  const walk = walker(find("#walker"));
  const empty = emptyView(find);
  const figures = figuresView(find);
  const after = afterView(find);
  const draw = (state, seat, clock, page_ms, head_ms = null) => {
    const nothing = emptiness(state, seat);
    const run = nothing === null ? seat.run : null;
    empty(nothing, seat);
    find("#card").classList.toggle("is-empty", nothing !== null);
    const looked = run && repLooked(run);
    if (run) strip(seat, clock, page_ms, looked, head_ms);
    const beat = run && running(seat) ? beatNow(seat, clock, page_ms) : NaN;
    // Without the click nothing on the page may beat in its place.
    walk(run?.grid ?? null, run?.grid.click_off && beat >= 0 ? NaN : beat);
    find("#where").classList.toggle("counting", beat < 0);
    say(
      find("#where"),
      run ? (Number.isFinite(beat) ? counting(beat, run.grid) : running(seat) ? " " : stoppedWords(looked)) : " ",
    );
    const told = (looked ? null : ladderWords(run)) ?? verdictWords(run, looked);
    find("#verdict").dataset.size = sizeOf(told.said);
    say(find("#verdict"), told.said);
    say(find("#more"), told.more);
    show(find("#guess"), nothing === null && askedRep(seat) !== null);
    figures(run);
    if (state.view === "practise")
      markSteps(find("#asked-staff"), run && isOnStaff(run, beat, looked) ? heardSteps(run, looked) : new Set());
    after(run, looked);
  };
  return { draw, reveal: () => find(".verdict").scrollIntoView({ block: "nearest" }) };
}
