/** What all pictures over time share: scales and their ticks. Pure; days are numbers, see progressstate.js; CSS pixels. */

import { dayNumber, numberedDay } from "./state.js";
import { monthWords, shortDay } from "./words.js";

/** A straight scale: value -> pixel. */
export const scale = (from, to, start, end) => (value) => start + ((value - from) / (to - from || 1)) * (end - start);

const NICE = [1, 2, 4, 5, 10, 20, 25, 50, 100, 200, 250, 500];

/** Ticks that say no more than their value. */
export const plainTicks = (low, high, most) => roundTicks(low, high, most).map((value) => ({ value, text: String(value) }));

/** Round values from `low` to `high`, at most `most` of them. */
export function roundTicks(low, high, most) {
  const every = NICE.find((step) => Math.floor(high / step) - Math.ceil(low / step) < most) ?? 1000;
  const found = [];
  for (let value = Math.ceil(low / every) * every; value <= high; value += every) found.push(value);
  return found;
}

/** Values widened to at least `least` apart, and to round numbers. */
export function roomy(low, high, least, round = 4) {
  const lack = Math.max(least - (high - low), 0) / 2;
  return { low: Math.floor((low - lack) / round) * round, high: Math.ceil((high + lack) / round) * round };
}

const monthStarts = (first, last, months) => {
  const found = [];
  const at = new Date(`${numberedDay(first).slice(0, 7)}-01T00:00:00Z`);
  while (at.getTime() <= dayNumber(numberedDay(last)) * 86_400_000) {
    const day = dayNumber(at.toISOString().slice(0, 10));
    if (day >= first && at.getUTCMonth() % months === 0) found.push(day);
    at.setUTCMonth(at.getUTCMonth() + 1);
  }
  return found;
};

/** Days to name on an axis, {day, text}: so few that each has `room` pixels. The last one is never cut off. */
export function dayTicks(first, last, width, room) {
  const most = Math.max(Math.floor(width / room), 1);
  const span = last - first + 1;
  if (span <= most * 28) {
    const every = [1, 2, 7, 14, 28].find((step) => span / step <= most) ?? 28;
    const found = [];
    for (let day = last; day >= first; day -= every) found.unshift({ day, text: shortDay(numberedDay(day)) });
    return found;
  }
  const months = [1, 2, 3, 6, 12].find((step) => span / (30.4 * step) <= most) ?? 12;
  const starts = monthStarts(first, last, months);
  const thin = Math.ceil(starts.length / most);
  return starts.filter((_, index) => index % thin === 0).map((day) => ({ day, text: monthWords(numberedDay(day)) }));
}

export const line = (key, kind, x1, y1, x2, y2) => ({ key, tag: "line", class: kind, x1, y1, x2, y2 });

export const words = (key, kind, text, x, y, size, anchor = "start") => ({
  key, tag: "text", class: kind, text, x, y, "font-size": size, "text-anchor": anchor, "dominant-baseline": "central",
});

export const dot = (key, kind, cx, cy, r) => ({ key, tag: "circle", class: kind, cx, cy, r });

/**
 * The frame of a picture over time: where things are, and the marks of its two axes.
 *
 * `ticks` are {value, text, kind?} from left of the picture, which has a `gutter` of that many rems for them;
 * `headroom` is what it leaves above, in rems, for the unit and whatever is above the highest point.
 */
export function frame({ first, last, low, high, ticks, unit, gutter = 2.4, headroom = 1.9, width, height, rem }) {
  const size = 0.875 * rem;
  const left = gutter * rem;
  const right = width - 1 * rem;
  const top = headroom * rem;
  const bottom = height - 1.7 * rem;
  const from = dayNumber(first);
  const to = Math.max(dayNumber(last), from + 1);
  const x = scale(from, to, left + 0.6 * rem, right - 0.4 * rem);
  const y = scale(low, high, bottom, top);
  const days = dayTicks(from, to, right - left, 4.8 * rem);
  const ends = { start: x(from), end: x(to) };
  const anchor = (at) => (at > right - 2 * rem ? "end" : at < left + 1.5 * rem ? "start" : "middle");
  return {
    x: (day) => x(dayNumber(day)),
    y, left, right, top, bottom, size, rem, ...ends,
    marks: [
      ...ticks.map(({ value }) => line(`level ${value}`, "level", left, y(value), right, y(value))),
      ...ticks.map(({ value, text, kind = "" }) =>
        words(`tick ${value}`, `scale ${kind}`, text, left - 0.5 * rem, y(value), size, "end"),
      ),
      words("unit", "scale", unit, 0, 0.7 * rem, size),
      line("base", "base-line", left, bottom, right, bottom),
      ...days.flatMap(({ day, text }) => [
        line(`notch ${day}`, "level", x(day), bottom, x(day), bottom + 0.3 * rem),
        words(`day ${day}`, "scale", text, x(day), bottom + rem, size, anchor(x(day))),
      ]),
    ],
  };
}
