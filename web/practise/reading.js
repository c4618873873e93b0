/**
 * What is known of one rep, ready to be drawn: times from the ornament's own beat in ms, + = after it. Pure.
 *
 * While a rep is being played its steps come one by one, and a note without a length yet grows until the next onset;
 * once it is judged, the verdict's own readings stand.
 */

import { askedOf } from "./sequence.js";

const SAME_MS = 0.0015;
const SAME_BEAT = 1e-6;

/** The last rep that was played and judged; null if there is none. */
export const lastPlayed = (run) => run.reps.findLast((one) => !one.skipped) ?? null;

/**
 * The rep to show: the newest of which more than the note before it has been heard; of a run that is over the last that
 * was judged, since the one that the end cut off has no verdict. -1 when there is none, or it is kept back.
 */
export function repToShow(run) {
  if (run.blank) return -1;
  if (run.ended && lastPlayed(run)) return lastPlayed(run).rep;
  const judged = run.reps.at(-1)?.rep ?? -1;
  const sounding = Object.entries(run.readings)
    .filter(([, steps]) => Object.keys(steps).some((step) => Number(step) >= 0))
    .map(([rep]) => Number(rep));
  return Math.max(judged, ...sounding);
}

/** The rep to play at a beat of the run: the first in the count-in, each from its first note on; NaN: the one to show. Without the click: the next. */
export function repToPlay(run, beat) {
  if (run.grid.click_off && beat >= 0) return repToShow(run) + 1;
  if (Number.isNaN(beat)) return Math.max(repToShow(run), 0);
  return segmentAt(run, beat)?.rep ?? 0;
}

/** Where the rep that goes on at a beat is in time, as the daemon says; before the first one that is the first. */
export const segmentAt = (run, beat) =>
  run.segments.findLast(({ starts }) => starts <= beat + SAME_BEAT) ?? run.segments[0] ?? null;

/**
 * When the ornament's own beat was expected in a rep, in ms from beat 0 of the run.
 *
 * Its steps say so, by the player's own pulse where there is no click; before there are any, where the daemon placed it.
 */
export function beat_ms(run, rep) {
  const judged = run.reps.find((one) => one.rep === rep);
  const steps = judged?.steps ?? Object.values(run.readings[rep] ?? {}).filter((one) => one.step >= 0);
  const asked = askedOf(run, rep);
  const latest = steps.findLast(({ step }) => asked.steps[step]); // of long ago: the book may have spelled it otherwise
  if (latest) return latest.expected_ms - asked.steps[latest.step].offset_ms;
  return (run.segments.find((one) => one.rep === rep) ?? run.segments[0])?.beat_ms ?? 0;
}

function endOf(result, run, now_ms) {
  if (result.length_ms !== null) return { end: result.onset_ms + result.length_ms, growing: false };
  const next = run.heard.find((one) => one.onset_ms > result.onset_ms + SAME_MS);
  if (next) return { end: next.onset_ms, growing: false };
  return { end: Math.max(now_ms, result.onset_ms), growing: !run.ended };
}

function placed(result, run, at_ms, now_ms, fault) {
  const heard = result.onset_ms !== null;
  const { end, growing } = heard ? endOf(result, run, now_ms) : { end: null, growing: false };
  return {
    step: result.step ?? -1,
    note: result.note,
    played_note: result.played_note ?? null,
    state: result.state,
    deviation_ms: result.deviation_ms,
    length_ms: result.length_ms,
    onset: heard ? result.onset_ms - at_ms : null,
    end: heard ? end - at_ms : null,
    growing,
    fault: fault ?? null,
  };
}

function faultsByStep(judged) {
  const faults = {};
  for (const one of judged?.faults ?? []) if (one.step !== null) faults[one.step] ??= one.fault;
  return faults;
}

/** Notes that were heard near this rep's ornament and that no reading accounts for yet. */
function unread(run, at_ms, asked) {
  const onsets = Object.values(run.readings).flatMap((steps) => Object.values(steps).map((step) => step.onset_ms));
  const from_ms = at_ms + Math.min(0, asked.steps[0].offset_ms) - asked.end_offset_ms / 2;
  return run.heard
    .map((one, index) => ({ ...one, length_ms: null, next_ms: run.heard[index + 1]?.onset_ms ?? null }))
    .filter((one) => one.note !== null && one.onset_ms >= from_ms && one.onset_ms < at_ms + asked.end_offset_ms / 2)
    .filter((one) => !onsets.some((onset_ms) => onset_ms !== null && Math.abs(onset_ms - one.onset_ms) < SAME_MS))
    .map((one) => ({ ...one, extra: "heard", length_ms: one.next_ms === null ? null : one.next_ms - one.onset_ms }));
}

/** The reading of rep `rep` (or of none, when it is -1) at `now_ms` from beat 0 of the run. */
export function readingOf(run, rep, now_ms) {
  const at_ms = beat_ms(run, rep);
  const judged = run.reps.find((one) => one.rep === rep) ?? null;
  const live = run.readings[rep] ?? {};
  const faults = faultsByStep(judged);
  const lead = judged?.lead ?? live[-1] ?? null;
  const steps = judged?.steps ?? Object.values(live).filter((step) => step.step >= 0);
  const extras = judged?.extras ?? (rep < 0 ? [] : unread(run, at_ms, askedOf(run, rep)));
  return {
    rep,
    judged,
    on_beat_ms: run.on_beat_ms,
    lead: lead && placed(lead, run, at_ms, now_ms, faults[-1]),
    steps: steps.map((step) => placed(step, run, at_ms, now_ms, faults[step.step])),
    extras: extras.map((one) => ({
      ...one,
      onset: one.onset_ms - at_ms,
      end: one.onset_ms + (one.length_ms ?? 0) - at_ms,
    })),
  };
}

/**
 * The rep that is coming while the one before it is still on screen: {onset, end}, its note before as it sounds, in ms
 * from its own beat; null without the click, where nothing on the page may beat in its place.
 */
export function comingOf(run, now_ms) {
  if (run.ended || run.grid.click_off) return null;
  const rep = repToShow(run) + 1;
  const lead = run.readings[rep]?.[-1];
  if (!lead || lead.onset_ms === null) return null;
  const at_ms = lead.expected_ms - askedOf(run, rep).lead_offset_ms;
  return { onset: lead.onset_ms - at_ms, end: now_ms - at_ms };
}

/** How many rests there are at the end of the run: one after the other, with nothing played. */
export const restsOf = (run) => run.reps.length - 1 - run.reps.findLastIndex((one) => !one.skipped);

/** Which steps of the rep that is shown were heard, -1 for the note before it; `looked` is one that was picked, or null. */
export function heardSteps(run, looked = null) {
  const rep = looked?.rep ?? repToShow(run);
  const judged = run.reps.find((one) => one.rep === rep);
  const steps = judged ? [{ step: -1, ...judged.lead }, ...judged.steps] : Object.values(run.readings[rep] ?? {});
  return new Set(steps.filter((one) => one.onset_ms !== null).map((one) => one.step));
}
