/** The four pictures of the progress view as SVG marks for svg.js. Pure; each takes its figures and its size in pixels. */

import { dot, frame, line, plainTicks, roomy, roundTicks, scale, words } from "./chart.js";
import {
  PLACEMENT_AXIS, SHARE_AXIS, TEMPO_AXIS, clicksWords, daysAxis, levelWords, nowWords,
} from "./words.js";
import { side } from "../ui/words.js";

const LEVELS = 5;
const LEAST_CLICKS = 12;
const LEAST_MS = 40;
/** Below this width, in rems, there is no room for the unit beside what is said of the last point. */
const NARROW = 22;
/** A point's name keeps clear of the picture's edges by this many letters' heights. */
const CLEAR = 0.9;

const path = (key, kind, points) => ({
  key, tag: "polyline", class: kind, points: points.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join(" "),
});

/** The first, the last and the best point have their value said beside them; the last one is said if they meet. */
function named(points, value, places, rem) {
  const best = points.reduce((one, other) => (value(other) > value(one) ? other : one));
  const chosen = [points.at(-1), points[0], best].filter((one, index, all) => all.indexOf(one) === index);
  const kept = [];
  for (const one of chosen) {
    const { x } = places(one);
    if (kept.every((other) => Math.abs(places(other).x - x) > 3.2 * rem)) kept.push(one);
  }
  return kept;
}

const anchorAt = (x, at, rem) => (x > at.right - 2.5 * rem ? "end" : x < at.left + 2.5 * rem ? "start" : "middle");

/** The fastest tempo held clean over time. */
export function tempoMarks(points, days, size) {
  if (points.length === 0) return [];
  const tempi = points.map((point) => point.click_bpm);
  const { low, high } = roomy(Math.min(...tempi), Math.max(...tempi), LEAST_CLICKS);
  const at = frame({ ...size, ...days, low, high, ticks: plainTicks(low, high, LEVELS), unit: TEMPO_AXIS, headroom: 3 });
  const places = (point) => ({ x: at.x(point.day), y: at.y(point.click_bpm) });
  const r = points.length > 60 ? 0.16 * at.rem : 0.24 * at.rem;
  return [
    ...at.marks,
    path("way", "way", points.map((point) => Object.values(places(point)))),
    ...points.map((point) => dot(`point ${point.day}`, "point", places(point).x, places(point).y, r)),
    ...named(points, (point) => point.click_bpm, places, at.rem).map((point) => {
      const { x, y } = places(point);
      return words(`value ${point.day}`, "value", clicksWords(point.click_bpm), x, y - CLEAR * at.rem, at.rem, anchorAt(x, at, at.rem));
    }),
  ];
}

/** The share of clean ones over time, from 0 to 100: points {day, share, text}. */
export function shareMarks(points, days, size) {
  if (points.length === 0) return [];
  const at = frame({ ...size, ...days, low: 0, high: 100, ticks: plainTicks(0, 100, LEVELS), unit: SHARE_AXIS, headroom: 3 });
  const places = (point) => ({ x: at.x(point.day), y: at.y(point.share) });
  return [
    ...at.marks,
    path("way", "way", points.map((point) => Object.values(places(point)))),
    ...points.map((point) => dot(`point ${point.day}`, "point", places(point).x, places(point).y, 0.24 * at.rem)),
    ...named(points, (point) => point.share, places, at.rem).map((point) => {
      const { x, y } = places(point);
      return words(`value ${point.day}`, "value", point.text, x, y - CLEAR * at.rem, at.rem, anchorAt(x, at, at.rem));
    }),
  ];
}

const reach = (point) => [point.bias_ms - (point.spread_ms ?? 0), point.bias_ms + (point.spread_ms ?? 0)];

/** Where the ornament usually fell, and how much that varied. Late is above. */
export function placementMarks(points, on_beat_ms, days, size) {
  if (points.length === 0) return [];
  const ends = points.flatMap(reach);
  const { low, high } = roomy(Math.min(-LEAST_MS / 4, ...ends), Math.max(LEAST_MS / 4, ...ends), LEAST_MS, 10);
  const kind = (value) => (value === 0 ? "on" : side(value, 0));
  const ticks = roundTicks(low, high, LEVELS).map((value) => ({ value, text: levelWords(value), kind: kind(value) }));
  const at = frame({ ...size, ...days, low, high, ticks, unit: size.width < NARROW * size.rem ? "" : PLACEMENT_AXIS, gutter: 6.3 });
  const { rem } = at;
  const zero = at.y(0);
  const last = points.at(-1);
  const pitch = (at.end - at.start) / points.length;
  const thick = Math.min(Math.max(pitch / 4, 1.25), 0.25 * rem);
  const r = Math.min(Math.max(pitch / 2.2, 2.5), 0.34 * rem);
  return [
    ...at.marks,
    ...points
      .filter((point) => point.spread_ms !== null)
      .map((point) => {
        const [from, to] = reach(point).map(at.y);
        const width = thick.toFixed(2);
        return { ...line(`spread ${point.day}`, "spread", at.x(point.day), from, at.x(point.day), to), "stroke-width": width };
      }),
    line("beat", "beat", at.left, zero, at.right, zero),
    ...points.map((point) =>
      dot(`point ${point.day}`, `point ${side(point.bias_ms, on_beat_ms)}`, at.x(point.day), at.y(point.bias_ms), r),
    ),
    words("last", "value", nowWords(last, on_beat_ms), at.right, 0.7 * rem, rem, "end"),
  ];
}

const UNIT_DAYS = { day: 1, week: 7, month: 30.4 };

/** How much was practised: minutes of a day, or days of a week or a month. */
export function practiceMarks(points, grain, days, size) {
  const value = (point) => (grain === "day" ? point.minutes : point.days);
  const most = Math.max(...points.map(value));
  const high = grain === "day" ? Math.max(Math.ceil(most / 5) * 5, 5) : { week: 7, month: 31 }[grain];
  const at = frame({ ...size, ...days, low: 0, high, ticks: plainTicks(0, high, LEVELS), unit: daysAxis(grain) });
  const aDay = at.x("1970-01-02") - at.x("1970-01-01");
  const width = Math.max(Math.min(aDay * UNIT_DAYS[grain] * 0.72, 2 * at.rem), 1.5);
  const shift = grain === "day" ? -width / 2 : 0;
  return [
    ...at.marks,
    ...points.map((point) => ({
      key: `bar ${point.day}`, tag: "rect", class: "bar",
      x: at.x(point.day) + shift, y: at.y(value(point)), width, height: Math.max(at.bottom - at.y(value(point)), 1),
    })),
  ];
}

/** Held notes by family: a row each, their length from left to right. */
export function handMarks(hand, { width, rem }) {
  const { families, usual_ms } = hand;
  if (families.length === 0) return [];
  const row = 3 * rem;
  const end = width - 5.4 * rem;
  const reaches = families.map((one) => one.held_ms + (one.spread_ms ?? 0));
  const { high } = roomy(0, Math.max(...reaches), 20, 10);
  const x = scale(0, high, 0, end);
  const bottom = 1.6 * rem + row * families.length;
  const size = 0.875 * rem;
  const rows = families.flatMap((one, index) => {
    const y = 1.6 * rem + index * row;
    const middle = y + 2 * rem;
    const spread = one.spread_ms ?? 0;
    return [
      words(`family ${one.family}`, "name", one.family, 0, y + 0.85 * rem, rem),
      line(`rail ${one.family}`, "level", 0, middle, end, middle),
      { ...line(`spread ${one.family}`, "spread", x(one.held_ms - spread), middle, x(one.held_ms + spread), middle), "stroke-width": 0.3 * rem },
      dot(`point ${one.family}`, "point", x(one.held_ms), middle, 0.46 * rem),
      words(`value ${one.family}`, "value", `${Math.round(one.held_ms)} ms`, end + 0.6 * rem, middle, rem),
    ];
  });
  return [
    line("usual", "usual", x(usual_ms), 1.4 * rem, x(usual_ms), bottom),
    words("usual word", "scale", `usual ${Math.round(usual_ms)} ms`, x(usual_ms), 0.7 * rem, size, "middle"),
    ...rows,
    line("base", "base-line", 0, bottom + 0.3 * rem, end, bottom + 0.3 * rem),
    ...roundTicks(0, high, LEVELS).map((value) =>
      words(`tick ${value}`, "scale", value === 0 ? "0" : `${value} ms`, x(value), bottom + 1.1 * rem, size, value === 0 ? "start" : "middle"),
    ),
  ];
}

/** How tall the picture of the hand is, in rems. */
export const handRems = (hand) => 3.2 + 3 * hand.families.length;
