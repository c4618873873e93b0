/**
 * The wall as SVG marks for svg.js: one beat through every seat, the band under it. Pure; CSS pixels.
 *
 * A seat off the line is seen from the last row without a figure; a word says it as well. Seats keep their order: nothing
 * here is a ranking. No letters are smaller than the plan's, which are as large as the last row needs.
 */

import { timeWindow } from "../ui/time_window.js";
import { pageOf } from "./plan.js";
import { AWAY, BEAT, IN_A_ROW, TOGETHER, WAITING, againTitle, litTitle, playing, shortNames, stateLine, tempoLine, titleOf } from "./words.js";

const text = (key, className, x, y, size, words, anchor = "start") => ({
  key,
  tag: "text",
  class: className,
  x: Math.round(x),
  y: Math.round(y),
  "font-size": Math.ceil(size),
  "text-anchor": anchor,
  text: words,
});
const line = (key, className, x1, y1, x2, y2, width) => ({
  key,
  tag: "line",
  class: className,
  x1: Math.round(x1),
  y1: Math.round(y1),
  x2: Math.round(x2),
  y2: Math.round(y2),
  "stroke-width": Math.max(2, Math.round(width)),
});
const box = (key, className, x, y, width, height, radius) => ({
  key,
  tag: "rect",
  class: className,
  x: Math.round(x),
  y: Math.round(y),
  width: Math.max(1, Math.round(width)),
  height: Math.max(1, Math.round(height)),
  rx: Math.round(radius),
});
/** About how wide words are, in pixels: a letter is some 0.6 of its size wide, a bold capital 0.7. */
const widthOf = (words, size) => (words.length * 0.6 + 0.1) * size;
/** The size between `letter` and `most` at which words fit into a width as far as they can. */
const sizeWithin = (words, letter, most, width) => Math.max(letter, Math.min(most, width / widthOf(words, 1)));

/** From ms to pixels, held within the strip: what is farther off shows at its edge. */
function scaleOf(exercise, { left, right }) {
  const { from, to } = timeWindow(exercise);
  const each = (right - left) / (to - from);
  return (ms) => Math.min(Math.max(left + (ms - from) * each, left), right);
}

function seatMarks(seat, name, lane, plan, x) {
  const { letter, left, strip, word } = plan;
  const middle = lane.y + lane.height / 2;
  const base = middle + letter * 0.35;
  const high = lane.height * 0.8;
  const marks = [box(`lane ${seat.seat}`, "lane", strip.left, middle - high / 2, strip.right - strip.left, high, 6)];
  if (name) marks.push(text(`name ${seat.seat}`, "name", left, base, letter, name));
  seat.bars.forEach((bar, index) => {
    const next = seat.bars[index + 1];
    const from = x(bar.at_ms);
    const to = next ? x(next.at_ms) : bar.theme ? strip.right : x(bar.at_ms + (bar.length_ms ?? 0));
    const key = `${seat.seat} ${index}`;
    if (to - from < 1) return;
    marks.push(box(`bar ${key}`, bar.theme ? "theme" : "step", from, middle - high * 0.44, to - from - 2, high * 0.88, 5));
    if (!bar.theme && widthOf(bar.note, letter) + letter * 0.3 <= to - from)
      marks.push(text(`note ${key}`, "on-step", from + letter * 0.2, base, letter, bar.note));
  });
  const said = seat.away ? AWAY : seat.word;
  if (said) marks.push(text(`word ${seat.seat}`, seat.away ? "quiet" : `strong ${seat.way ?? ""}`, word, base, letter, said));
  if (seat.rep !== null)
    marks.push(text(`row ${seat.seat}`, seat.in_a_row ? "strong clean" : "quiet", plan.right, base, letter, `${seat.in_a_row}`, "end"));
  return marks;
}

function bandMarks(band, plan, x) {
  const { letter, left } = plan;
  const { y, height } = plan.band;
  const middle = y + height * 0.36;
  const tall = height * 0.34;
  const marks = [
    line("band rule", "rule", left, y - letter * 0.25, plan.right, y - letter * 0.25, 2),
    text("band", "title", left, middle + letter * 0.1, letter, TOGETHER),
    text("band seats", "quiet", left, middle + letter * 1.1, letter, playing(band.seats)),
  ];
  const steps = band.steps.filter((step) => step.middle_ms !== null);
  const edges = steps.map(({ middle_ms, spread_ms }) => [x(middle_ms - (spread_ms ?? 0)), x(middle_ms + (spread_ms ?? 0))]);
  const part = edges.some(([from], index) => index > 0 && from < edges[index - 1][1]);
  const free = [-Infinity, -Infinity]; // where a note's name may begin, on either of two lines
  steps.forEach((step, index) => {
    // Where the steps of a class run into each other, every other one has a lane of its own.
    const high = part ? tall * 0.5 : tall;
    const at_y = part ? middle + (index % 2 ? 1 : -1) * tall * 0.52 : middle;
    const [from, to] = edges[index];
    const place = x(step.middle_ms);
    marks.push(box(`spread ${index}`, "spread", from, at_y - high, to - from, high * 2, high));
    step.onsets_ms.forEach((at, number) =>
      marks.push(line(`onset ${index} ${number}`, "onset", x(at), at_y - high * 0.8, x(at), at_y + high * 0.8, letter * 0.07)),
    );
    marks.push(line(`middle ${index}`, "middle", place, at_y - high * 1.15, place, at_y + high * 1.15, letter * 0.13));
    const wide = widthOf(step.note, letter);
    const low = free.findIndex((from) => place - wide / 2 >= from);
    if (low < 0) return; // the bars have it too
    free[low] = place + wide / 2 + letter * 0.2;
    marks.push(text(`step ${index}`, "quiet", place, middle + tall + letter * (1 + low), letter, step.note, "middle"));
  });
  marks.push(text("said", "sentence", left, plan.sentence, sizeWithin(band.said, letter, letter * 1.15, plan.right - left), band.said));
  if (band.trend) marks.push(text("trend", "quiet", left, plan.sentence + letter * 1.15, letter, band.trend));
  return marks;
}

/** Whether one seat has the whole wall. */
export const isAlone = ({ replay, spotlight }) => Boolean(replay ?? spotlight);

/** Whose rows are shown, and what the wall is about then: all seats, one seat's last reps, or a rep that is played again. */
function rowsOf({ seats, spotlight, replay, exercise }) {
  if (replay) return { rows: [replay.rep], titled: againTitle(replay) };
  if (spotlight) return { rows: spotlight.reps, titled: litTitle(spotlight, exercise) };
  return { rows: seats, titled: titleOf(exercise) };
}

/** All marks of a `wall` frame on a plan (see plan.js); `head_ms`: where a rep that is played again has come to, or null; `turns`: pages turned by time. */
export function wallMarks(frame, plan, head_ms = null, turns = 0) {
  const { letter, left, right, strip, title, labels } = plan;
  if (frame.exercise === null) return [text("title", "title", left, title, letter * 1.4, WAITING)];
  const x = scaleOf(frame.exercise, strip);
  const page = pageOf(frame.rep, plan.pages, turns);
  const { rows, titled } = rowsOf(frame);
  const seats = rows.slice(page * plan.rows, (page + 1) * plan.rows);
  const names = shortNames(rows, (words) => widthOf(words, letter) <= plan.names).slice(page * plan.rows);
  const top = plan.lanes[0].y;
  const last = plan.lanes.at(-1);
  const bottom = isAlone(frame) ? last.y + last.height : plan.band.y + plan.band.height * 0.72;
  const state = stateLine(frame, page, plan.pages);
  const room = right - left - widthOf(state, letter);
  const drawn = seats.flatMap((seat, index) => seatMarks(seat, names[index], plan.lanes[index], plan, x));
  const onSteps = drawn.filter((mark) => mark.class === "on-step");
  const marks = [
    text("title", "title", left, title, sizeWithin(titled, letter, letter * 1.4, room), titled),
    text("state", "quiet", right, title, letter, state, "end"),
    text("tempo", "quiet", left, labels, letter, tempoLine(frame)),
    ...drawn.filter((mark) => mark.class !== "on-step"),
    line("beat", "beat", x(0), top, x(0), bottom, letter * 0.1),
    ...onSteps, // over the beat's line, so that it goes through no letter
    text("beat name", "strong", x(0), labels, letter, BEAT, "middle"),
    text("row name", "quiet", right, labels, letter, IN_A_ROW, "end"),
  ];
  if (head_ms !== null) marks.push(line("head", "head", x(head_ms), top, x(head_ms), bottom, letter * 0.1));
  return frame.band && !isAlone(frame) ? [...marks, ...bandMarks(frame.band, plan, x)] : marks;
}
