/** The strip on the page: measures its place and its letters, and draws what strip.js lays out. */

import { marks } from "./draw.js";
import { beatAt } from "../core/grid.js";
import { comingOf, readingOf, repToPlay, repToShow } from "./reading.js";
import { layout } from "./strip.js";
import { patch } from "../ui/svg.js";
import { askedOf, windowOf } from "./sequence.js";
import { stripSentence } from "../ui/words.js";

const NS_PER_MS = 1e6;

/** A measure(text, pixels, bold) -> pixels for the page's own letters. */
function measurer(family) {
  const pen = document.createElement("canvas").getContext("2d");
  const known = new Map();
  return (text, size, bold) => {
    const name = `${bold} ${size} ${text}`;
    if (known.size > 5000) known.clear();
    if (!known.has(name)) {
      pen.font = `${bold ? 700 : 500} ${size}px ${family}`;
      known.set(name, pen.measureText(text).width);
    }
    return known.get(name);
  };
}

/** The time of the run now, in ms from its beat 0, on the scale of its onsets; NaN while the clock is unknown. */
function runNow_ms({ run, calibration_ms }, clock, page_ms) {
  return (clock.toDaemon_ns(page_ms) - run.grid.beat0_ns) / NS_PER_MS - (calibration_ms ?? 0);
}

/** In a run that is over, a note whose end was not heard lasts to the edge of the strip. */
const LONG_AFTER_MS = 1e12;
/** How often the whole strip is laid out while a note grows; in between only its bar is drawn longer. */
const GROWING_MS = 125;

/** Draw only the end of what grows: the bar of the note that sounds, and the thin one of the coming rep. */
function grow(group, plan, reading, coming) {
  const step = reading.steps.find((one) => one.growing);
  const longer = (key, end) => {
    const node = group.querySelector(`[data-key="${key}"]`);
    if (node) node.setAttribute("width", Math.max(plan.axis.x(end) - Number(node.getAttribute("x")) - 1, 1));
  };
  if (step) longer(`bar ${step.step}`, step.end);
  if (coming) longer("coming", coming.end);
}

/**
 * draw({run, calibration_ms}, clock, page_ms, looked, head_ms) for the <svg> and its group of marks.
 *
 * `looked` is the rep that was picked, or null; `head_ms` is how far its playback is, in ms from the beat, or null.
 */
export function stripView(svg, group) {
  const style = getComputedStyle(svg);
  const measure = measurer(style.fontFamily);
  let size = { width: 0, height: 0 };
  let rem = 16;
  let before = [];
  let plan = null;
  new ResizeObserver(([entry]) => {
    size = { width: entry.contentRect.width, height: entry.contentRect.height };
    rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
    svg.setAttribute("viewBox", `0 0 ${size.width} ${size.height}`);
    svg.dispatchEvent(new Event("resized", { bubbles: true }));
  }).observe(svg);
  return (played, clock, page_ms, looked = null, head_ms = null) => {
    const { run } = played;
    if (size.width === 0) return;
    const known_ms = runNow_ms(played, clock, page_ms);
    const now_ms = run.ended ? LONG_AFTER_MS : Number.isFinite(known_ms) ? known_ms : 0;
    const rep = looked?.rep ?? repToShow(run);
    const coming = looked ? null : comingOf(run, now_ms);
    const reading = readingOf(run, rep, now_ms);
    const grows = coming !== null || reading.steps.some((one) => one.growing);
    const next = rep < 0 && !run.ended ? repToPlay(run, beatNow(played, clock, page_ms)) : rep;
    const inputs = [run, rep, next, looked, head_ms, size, grows ? Math.floor(now_ms / GROWING_MS) : null];
    if (inputs.every((one, index) => Object.is(one, before[index]))) {
      if (grows) grow(group, plan, reading, coming);
      return;
    }
    before = inputs;
    const said = stripSentence(reading, run.on_beat_ms);
    if (svg.getAttribute("aria-label") !== said) svg.setAttribute("aria-label", said);
    const asked = askedOf(run, next);
    plan = layout({ asked, span: windowOf(run.sequence), reading, coming, head_ms, ...size, rem, measure });
    patch(group, marks(plan));
  };
}

/** A run that is over, as the strip draws it, of what is known of it: {on_beat_ms, reps, sequence, segments, grid}. Pure. */
export const runThatIsOver = (known) => ({ ...known, readings: {}, heard: [], earlier: [], ended: true, blank: false });

/** For a run that is over: no clock is needed. */
export const NO_CLOCK = { toDaemon_ns: () => NaN };

/** Which beat of the run it is now: negative in the count-in, NaN while the clock is unknown. */
export const beatNow = (seat, clock, page_ms) => beatAt(seat.run.grid, clock.toDaemon_ns(page_ms));
