/**
 * The wall as SVG marks for svg.js: one beat through every seat, the band under it. Pure; CSS pixels.
 *
 * A seat off the line is seen from the last row without a figure; a word says it as well. Seats keep their order: nothing
 * here is a ranking.
 */

import { timeWindow } from "../ui/time_window.js";
import { pageOf } from "./plan.js";
import { AWAY, BEAT, IN_A_ROW, TOGETHER, WAITING, againTitle, litTitle, playing, tempoLine, titleOf } from "./words.js";

const text = (key, className, x, y, size, words, anchor = "start") => ({
  key,
  tag: "text",
  class: className,
  x: Math.round(x),
  y: Math.round(y),
  "font-size": Math.round(size),
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
/** Whether words with this number of letters fit into that number of pixels; a letter is about 0.6 of its size wide. */
const fits = (words, size, width) => words.length * size * 0.6 <= width;

/** From ms to pixels, held within the strip: what is farther off shows at its edge. */
function scaleOf(exercise, { left, right }) {
  const { from, to } = timeWindow(exercise);
  const each = (right - left) / (to - from);
  return (ms) => Math.min(Math.max(left + (ms - from) * each, left), right);
}

function seatMarks(seat, lane, plan, x) {
  const { letter, left, strip, word } = plan;
  const middle = lane.y + lane.height / 2;
  const base = middle + letter * 0.35;
  const high = lane.height * 0.7;
  const marks = [box(`lane ${seat.seat}`, "lane", strip.left, middle - high / 2, strip.right - strip.left, high, 6)];
  if (seat.name) marks.push(text(`name ${seat.seat}`, "name", left, base, letter, seat.name));
  seat.bars.forEach((bar, index) => {
    const next = seat.bars[index + 1];
    const from = x(bar.at_ms);
    const to = next ? x(next.at_ms) : bar.theme ? strip.right : x(bar.at_ms + (bar.length_ms ?? 0));
    const key = `${seat.seat} ${index}`;
    if (to - from < 1) return;
    marks.push(box(`bar ${key}`, bar.theme ? "theme" : "step", from, middle - high * 0.42, to - from - 2, high * 0.84, 5));
    if (fits(bar.note, letter * 0.6, to - from - 12) && !bar.theme)
      marks.push(text(`note ${key}`, "on-step", from + 8, middle + letter * 0.22, letter * 0.6, bar.note));
  });
  const said = seat.away ? AWAY : seat.word;
  if (said) marks.push(text(`word ${seat.seat}`, seat.away ? "quiet" : `strong ${seat.way ?? ""}`, word, base, letter * 0.85, said));
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
    text("band seats", "quiet", left, middle + letter * 1.05, letter * 0.7, playing(band.seats)),
  ];
  const steps = band.steps.filter((step) => step.middle_ms !== null);
  const edges = steps.map(({ middle_ms, spread_ms }) => [x(middle_ms - (spread_ms ?? 0)), x(middle_ms + (spread_ms ?? 0))]);
  const part = edges.some(([from], index) => index > 0 && from < edges[index - 1][1]);
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
    marks.push(text(`step ${index}`, "quiet", place, middle + tall + letter * 0.85, letter * 0.65, step.note, "middle"));
  });
  marks.push(text("said", "sentence", left, plan.sentence, letter * 1.15, band.said));
  if (band.trend) marks.push(text("trend", "quiet", left, plan.sentence + letter * 0.95, letter * 0.75, band.trend));
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
  const { letter, left, right, strip, title } = plan;
  if (frame.exercise === null) return [text("title", "title", left, title, letter * 1.4, WAITING)];
  const x = scaleOf(frame.exercise, strip);
  const page = pageOf(frame.rep, plan.pages, turns);
  const { rows, titled } = rowsOf(frame);
  const seats = rows.slice(page * plan.rows, (page + 1) * plan.rows);
  const top = plan.lanes[0].y;
  const last = plan.lanes.at(-1);
  const bottom = isAlone(frame) ? last.y + last.height : plan.band.y + plan.band.height * 0.72;
  const marks = [
    text("title", "title", left, title, letter * 1.4, titled),
    text("tempo", "quiet", right, title, letter * 0.85, tempoLine(frame, page, plan.pages), "end"),
    ...seats.flatMap((seat, index) => seatMarks(seat, plan.lanes[index], plan, x)),
    line("beat", "beat", x(0), top, x(0), bottom, letter * 0.1),
    text("beat name", "strong", x(0), top - letter * 0.15, letter * 0.65, BEAT, "middle"),
    text("row name", "quiet", right, top - letter * 0.15, letter * 0.6, IN_A_ROW, "end"),
  ];
  if (head_ms !== null) marks.push(line("head", "head", x(head_ms), top, x(head_ms), bottom, letter * 0.1));
  return frame.band && !isAlone(frame) ? [...marks, ...bandMarks(frame.band, plan, x)] : marks;
}
