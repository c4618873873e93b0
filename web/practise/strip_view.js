/** The strip on the page: measures its place and its letters, and draws what strip.js lays out. */

import { marks } from "./draw.js";
import { beatAt } from "../core/grid.js";
import { readingOf, repToPlay, repToShow } from "./reading.js";
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
function runNow_ms(seat, clock, page_ms) {
  const { grid } = seat.run;
  return (clock.toDaemon_ns(page_ms) - grid.beat0_ns) / NS_PER_MS - (seat.chanter.calibration_ms ?? 0);
}

/**
 * draw(player, clock, page_ms, looked, head_ms) for the <svg> and its group of marks.
 *
 * `looked` is the rep that was picked, or null; `head_ms` where its hearing has come to, in ms from the beat, or null.
 */
export function stripView(svg, group) {
  const style = getComputedStyle(svg);
  const measure = measurer(style.fontFamily);
  let size = { width: 0, height: 0 };
  new ResizeObserver(([entry]) => {
    size = { width: entry.contentRect.width, height: entry.contentRect.height };
    svg.setAttribute("viewBox", `0 0 ${size.width} ${size.height}`);
    svg.dispatchEvent(new Event("resized", { bubbles: true }));
  }).observe(svg);
  return (seat, clock, page_ms, looked = null, head_ms = null) => {
    const { run } = seat;
    if (size.width === 0) return;
    const now_ms = runNow_ms(seat, clock, page_ms);
    const rep = looked?.rep ?? repToShow(run);
    const reading = readingOf(run, rep, Number.isFinite(now_ms) ? now_ms : 0);
    const told = stripSentence(reading);
    if (svg.getAttribute("aria-label") !== told) svg.setAttribute("aria-label", told);
    const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
    const asked = askedOf(run, rep < 0 && !run.ended ? repToPlay(run, beatNow(seat, clock, page_ms)) : rep);
    patch(group, marks(layout({ asked, span: windowOf(run.sequence), reading, head_ms, ...size, rem, measure })));
  };
}

/** Which beat of the run it is now: negative in the count-in, NaN while the clock is unknown. */
export const beatNow = (seat, clock, page_ms) => beatAt(seat.run.grid, clock.toDaemon_ns(page_ms));
