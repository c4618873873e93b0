/** The middle of the page: the strip or an empty state in its place, the verdict, the figures of the run. */

import { runSummaryView } from "./run_summary.js";
import { lengths, placement } from "./figures.js";
import { fill, html, say, show } from "../ui/html.js";
import { heardSteps, repToPlay, repToShow, restsOf } from "./reading.js";
import { markSteps } from "../ui/staff.js";
import { repLooked, runShown, running } from "../core/state.js";
import { cleanWords } from "./summary_words.js";
import { COUNTED_IN } from "../ladder/words.js";
import { stripView } from "./strip_view.js";
import { repToGuess } from "../core/feedback_filter.js";
import { askedOf } from "./sequence.js";
import { beatDot } from "./beat_dot.js";
import { DASH, EMPTY, REST, counting, hearNothing, placeWords, stoppedWords, whole } from "../ui/words.js";

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

/** The smaller line: the other faults. Pure. */
export const moreWords = (rep) => rep.faults.slice(1).map((fault) => fault.said).join(" ");

/** How the tempo was kept in a run without the click, and what else there is to say at its end. Pure. */
function keptWords(run) {
  const [said, ...more] = run.continuation.said;
  return { said, more: [...more, run.feedback.said ?? ""].join(" ").trim() };
}

const RESTS_BEFORE_HELP = 2;

/** {said, more} of the rep whose picture is shown: none while it still sounds, so that both are of one rep. Pure. */
function repWords(run, seat) {
  const shown = repToShow(run);
  const rep = run.reps.find((one) => one.rep === shown);
  if (!rep) return { said: "", more: run.reps.length === 0 ? (run.left_out ?? "") : "" };
  if (!rep.skipped) return { said: rep.said, more: moreWords(rep) };
  const silent = restsOf(run) >= RESTS_BEFORE_HELP && !seat.sounding.note;
  return { said: REST, more: silent ? hearNothing(seat.chanter.input) : "", rest: true };
}

/** The sentence and the smaller line below it: the schedule's own, or those of the rep that is shown. Pure. */
function verdictWords(run, looked, seat) {
  if (looked) return { said: looked.said, more: moreWords(looked) };
  if (run === null) return { said: "", more: "" };
  if (run.continuation) return keptWords(run);
  if (run.ended && run.remarks) return { said: cleanWords(run), more: run.feedback.said ?? "" };
  const words = repWords(run, seat);
  if (run.doubt) return { said: run.doubt, more: words.said };
  const { said, more } = run.feedback;
  if (said !== null) return { said, more };
  return words.said === "" && words.more === "" ? { said: "", more } : words;
}

const figure = (found, main) =>
  found ? html`<b>${main}</b> <small>± ${whole(found.scatter)} ms</small>` : html`<b>${DASH}</b>`;

function figuresView(find) {
  return (run) => {
    const reps = run?.reps.filter((rep) => !rep.skipped) ?? [];
    const where = placement(reps);
    const long = lengths(reps);
    fill(find("#placement"), figure(where, where && placeWords(where.middle, run.on_beat_ms)));
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

/**
 * {said, more} of a ladder that has just led to another tempo or ended, with the rep that led there; null: the rep has
 * the word. Pure.
 */
function ladderWords(run) {
  const ladder = run?.ladder ?? null;
  if (!ladder || !(run.ended || repToShow(run) < 0)) return null;
  if (run.ended) return { said: ladder.said, more: ladder.whole };
  const cost = run.earlier.at(-1)?.rep;
  return { said: ladder.said, more: [cost && !cost.clean ? cost.said : "", COUNTED_IN].filter(Boolean).join(" ") };
}

/** What is drawn: the run, or before the first step at another tempo of a ladder the rep that led there. Pure. */
function drawn(run) {
  const last = run.earlier.at(-1);
  if (!last || repToShow(run) >= 0 || run.blank) return run;
  return { ...run, ...last.of, reps: [last.rep], readings: {}, heard: [], ended: true };
}

/** Whether the staff shows what the rep that is drawn was asked for; up and down the scale it is ahead of it. */
const isOnStaff = (run, beat, looked) =>
  askedOf(run, repToPlay(run, beat)) === askedOf(run, looked?.rep ?? repToShow(run));

/** Above the strip: the count-in, which rep it is, or that it is over. Pure. */
function whereWords(run, seat, beat, looked) {
  if (!run) return " ";
  if (Number.isFinite(beat)) return counting(beat, run.grid, repToPlay(run, beat));
  return running(seat) ? " " : stoppedWords(looked);
}

/**
 * draw({state, seat, clock, page_ms, head_ms, beat}, when): all of the middle; `head_ms` is how far a playback is, or
 * null; `beat` is where the run is, NaN while none goes on; `when` draws what changed.
 *
 * reveal(): on a small screen pass by as much of the page as is needed to read strip and verdict while playing.
 */
export function playView(find) {
  const strip = stripView(find("#strip"), find("#marks"));
  const drawDot = beatDot(find("#beat-dot"));
  const empty = emptyView(find);
  const figures = figuresView(find);
  const summary = runSummaryView(find);
  let picture = { run: null, drawn: null };
  const draw = ({ state, seat, clock, page_ms, head_ms, beat }, when) => {
    const nothing = emptiness(state, seat);
    const run = nothing === null ? seat.run : null;
    const looked = run && repLooked(run);
    if (picture.run !== run) picture = { run, drawn: run && drawn(run) };
    find("#card").classList.toggle("is-empty", nothing !== null); // before the strip is drawn into the room that it has
    if (run) strip({ run: picture.drawn, calibration_ms: seat.chanter.calibration_ms }, clock, page_ms, looked, head_ms);
    // Without the click nothing on the page may beat in its place.
    drawDot(run, run?.grid.click_off && beat >= 0 ? NaN : beat);
    const where = whereWords(run, seat, beat, looked);
    when("where", [where, beat < 0], () => {
      find("#where").classList.toggle("counting", beat < 0);
      say(find("#where"), where);
    });
    when("play", [nothing, seat, looked], () => {
      empty(nothing, seat);
      const words = (looked ? null : ladderWords(run)) ?? verdictWords(run, looked, seat);
      find("#verdict").dataset.size = sizeOf(words.said);
      find("#verdict").classList.toggle("rest", words.rest === true);
      say(find("#verdict"), words.said);
      say(find("#more"), words.more);
      show(find("#guess"), nothing === null && repToGuess(seat) !== null);
      figures(run);
      summary(run, looked);
    });
    const rep = run ? repToPlay(run, beat) : 0;
    const staff = find("#asked-staff");
    when("marks", [run, looked, rep, staff.firstChild], () =>
      markSteps(staff, run && isOnStaff(run, beat, looked) ? heardSteps(run, looked) : new Set()),
    );
  };
  return { draw, reveal: () => find(".verdict").scrollIntoView({ block: "nearest" }) };
}
