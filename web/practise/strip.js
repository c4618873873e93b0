/**
 * The geometry of the strip: asked above, played below, joined so that early and late are seen as a slant. Pure.
 *
 * Takes what is asked (frames: Asked), what is known of a rep (reading.js), the size in CSS pixels, `rem` in pixels, and
 * measure(text, pixels, bold) -> pixels. Returns plain boxes and lines; draw.js turns them into SVG.
 */

import { axisOf, ticks } from "./axis.js";
import { timeWindow } from "../ui/time_window.js";
import { figureRoom, lanesOf } from "./lanes.js";
import { PAD_REM, extraLabels, figures, inBars, names, placeNames } from "./labels.js";
import { side } from "../ui/words.js";

/** From this width on there is room for the beginning of the note before, and for the names of the lanes. */
const WIDE_REMS = 34;
const LEAST_BAR = 2;
/** What a widened window leaves before the first step, and half of what it leaves after the last, as a share of it. */
const EDGE = 0.06;

function slotsOf(asked, axis) {
  const steps = asked.steps.map((step, index) => ({
    key: step.step,
    name: step.note,
    sounds: step.sounds,
    kind: step.kind,
    x: axis.x(step.offset_ms),
    right: index + 1 < asked.steps.length ? axis.x(asked.steps[index + 1].offset_ms) : axis.right,
  }));
  const before = axis.lead ? axis.lead.x(asked.lead_offset_ms) : axis.left;
  const lead = {
    key: -1,
    name: asked.lead,
    sounds: true,
    kind: "lead",
    x: before,
    right: steps[0].x,
    clear: axis.lead?.right,
  };
  return [lead, ...steps].filter((slot) => slot.right - slot.x > 1);
}

const barOf = (one, x, right, lane) => ({
  key: one.step,
  name: one.played_note ?? one.note,
  wrong: one.state === "wrong note",
  odd: Boolean(one.fault),
  growing: one.growing,
  length_ms: one.length_ms,
  x,
  right: Math.max(right, x + LEAST_BAR),
  y: lane.y,
  height: lane.height,
});

function leadBar(lead, first, axis, lane) {
  if (!lead || (lead.onset === null && lead.state !== "merged")) return [];
  const start = axis.lead?.left ?? axis.left;
  const x = axis.lead && lead.onset !== null ? axis.lead.x(lead.onset) : start;
  const right = lead.end === null ? (first?.x ?? axis.left) : axis.x(lead.end);
  return [
    {
      ...barOf(lead, x, Math.max(right, axis.lead?.right ?? 0), lane),
      length_ms: null,
      lead: true,
      clear: axis.lead?.right,
    },
  ];
}

function barsOf(reading, axis, lane) {
  const steps = reading.steps
    .filter((one) => one.onset !== null)
    .map((one) => ({ ...barOf(one, axis.x(one.onset), axis.x(one.end), lane), outside: axis.outside(one.onset) }));
  // One note at a time: a bar that would run into the next one, at the edge or by an odd reading, is cut short there.
  const bars = [...leadBar(reading.lead, steps[0], axis, lane), ...steps].sort((one, other) => one.x - other.x);
  return bars.map((bar, index) => ({
    ...bar,
    right: Math.max(Math.min(bar.right, bars[index + 1]?.x ?? Infinity), bar.x + LEAST_BAR),
  }));
}

function joinsOf(reading, slots, bars, lanes) {
  const heard = [reading.lead, ...reading.steps].filter(
    (one) => one && one.onset !== null && one.deviation_ms !== null,
  );
  return heard.flatMap((one) => {
    const slot = slots.find((each) => each.key === one.step);
    const bar = bars.find((each) => each.key === one.step);
    if (!slot || !bar) return [];
    return [
      {
        key: one.step,
        side: side(one.deviation_ms, reading.on_beat_ms),
        x1: slot.x,
        y1: lanes.asked.bottom,
        x2: bar.x,
        y2: lanes.played.y,
      },
    ];
  });
}

/** An outline where a step should have sounded and did not. */
function ghostsOf(reading, slots, lane) {
  const silent = reading.steps.filter((one) => one.onset === null);
  const places = silent
    .map((one) => ({ one, slot: slots.find((slot) => slot.key === one.step) }))
    .filter(({ slot }) => slot);
  return places.map(({ one, slot }) => ({
    key: one.step,
    state: one.state,
    x: slot.x,
    right: slot.right,
    y: lane.y,
    height: lane.height,
  }));
}

function extrasOf(reading, axis, lane, from, rem, measure) {
  const near = reading.extras
    .filter((extra) => axis.outside(extra.onset) === 0)
    .map((extra, index) => {
      const x = axis.x(extra.onset);
      return {
        key: index,
        kind: extra.extra,
        heard: extra,
        x,
        right: Math.max(axis.x(extra.end), x + 4),
        y: lane.y + 0.15 * rem,
        height: 0.6 * rem,
      };
    });
  const labels = extraLabels(near, from, axis.right, rem, measure);
  return near.map((extra, index) => ({
    ...extra,
    label: labels[index] && { ...labels[index], y: lane.y + 0.8 * rem },
  }));
}

/** The note before of the coming rep, thin under what was played; null if there is none. */
function comingBox(coming, axis, lane, rem) {
  if (coming === null) return null;
  const x = axis.lead ? axis.lead.left : axis.left;
  return { x, right: Math.max(axis.x(coming.end), x + LEAST_BAR), y: lane.bottom + 0.12 * rem, height: 0.28 * rem };
}

/** Room for a rep that was played far off, so that nothing of it is crammed at the edge: the window, widened. Pure. */
export function widened({ from, to }, asked, reading) {
  const onsets = reading.steps.map((one) => one.onset).filter((onset) => onset !== null);
  const within = onsets.filter((onset) => onset > asked.lead_offset_ms && onset < asked.end_offset_ms);
  const room = (to - from) * EDGE;
  const least = Math.min(...within, Infinity);
  const most = Math.max(...within, -Infinity);
  const begin = least < from ? least - room : from;
  return { from: begin, to: most > to - room ? Math.max(to, most + 2 * EDGE * (most - begin)) : to };
}

/** The steps whose bars are too narrow for their names. */
function withoutNames(bars, rem, measure) {
  const named = new Set(inBars(bars, rem, measure).map((one) => one.key));
  return new Set(bars.filter((bar) => !bar.lead && !bar.growing && !named.has(bar.key)).map((bar) => bar.key));
}

/** Where the playback of this rep has come to, in ms from the beat; null while it is outside the window, or is not heard. */
const headOf = (ms, axis, lanes) =>
  ms === null || axis.outside(ms) ? null : { x: axis.x(ms), from: lanes.asked.y, to: lanes.played.bottom };

/** All of the strip over a window of time; `reading` may be of no rep yet (reading.js: no steps). */
export function layout({ asked, span = timeWindow(asked), reading, coming = null, head_ms = null, width, height, rem, measure }) {
  const wide = width >= WIDE_REMS * rem;
  const gutter = wide ? 4.4 * rem : 0.2 * rem;
  const axis = axisOf(asked, widened(span, asked, reading), gutter, width - 0.2 * rem, wide ? Math.max(6.5 * rem, width * 0.1) : 0, 1.1 * rem);
  const from = axis.lead?.left ?? axis.left;
  const onsets = new Map(
    [reading.lead, ...reading.steps].filter((one) => one && one.onset !== null).map((one) => [one.step, one.onset]),
  );
  const at = (key) => {
    if (key === -1) return axis.lead.x(onsets.get(-1) ?? asked.lead_offset_ms);
    return axis.x(onsets.get(key) ?? asked.steps[key].offset_ms);
  };
  const unnamed = withoutNames(barsOf(reading, axis, { y: 0, height: 0 }), rem, measure);
  const placed = figures({
    asked,
    reading,
    at,
    from,
    to: axis.right,
    room: figureRoom(height, rem),
    withLead: axis.lead !== null,
    unnamed,
    rem,
    measure,
  });
  const places = slotsOf(asked, axis);
  const named = placeNames(places, from, axis.right, rem, measure);
  const lanes = lanesOf(height, rem, placed.height, named?.rows ?? 1);
  const slots = places.map((slot) => ({ ...slot, y: lanes.asked.y, height: lanes.asked.height }));
  const bars = barsOf(reading, axis, lanes.played);
  return {
    width,
    height,
    rem,
    wide,
    gutter,
    axis,
    lanes,
    slots,
    bars,
    names: names({ slots, placed: named, above: lanes.names, rem }),
    inBar: inBars(bars, rem, measure),
    joins: joinsOf(reading, slots, bars, lanes),
    figures: placed.list.map((figure) => ({
      ...figure,
      y: lanes.figures.y + figure.top,
      leader: {
        x1: figure.at,
        y1: lanes.played.bottom,
        x2: Math.min(Math.max(figure.at, figure.x - PAD_REM * rem), figure.x + figure.width),
        y2: lanes.figures.y + figure.top,
      },
    })),
    ghosts: ghostsOf(reading, slots, lanes.played),
    extras: extrasOf(reading, axis, lanes.extras, from, rem, measure),
    ticks: ticks(axis, 4 * rem),
    coming: comingBox(coming, axis, lanes.played, rem),
    head: headOf(head_ms, axis, lanes),
    beat: { x: axis.x(0), from: lanes.beat.y + lanes.beat.height * 0.75, to: lanes.played.bottom + 0.35 * rem },
  };
}
