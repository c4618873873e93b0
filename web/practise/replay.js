/** A rep as it was played, ready to be sounded: every note at its own time, the wrong and the unasked ones too. Pure. */

import { score } from "../audio/tone.js";
import { beat_ms } from "./reading.js";
import { askedOf } from "./sequence.js";

/** How many times slower than it was played, and what that is called. */
export const SPEEDS = [
  { factor: 1, said: "full" },
  { factor: 2, said: "half" },
  { factor: 4, said: "quarter" },
];

/** A silence shorter than this is only the way from one note to the next. */
const BREATH_MS = 5;
/** How long a last note sounds at least, and how long a note before sounds that was there already. */
const SHORTEST_MS = 200;

const MS_PER_MINUTE = 60e3;

/** What was heard in the rep, in order of time: [{note, onset_ms, length_ms}], in ms from beat 0 of the run. */
export function sounded(rep) {
  const heard = [rep.lead, ...rep.steps, ...rep.extras]
    .filter((one) => one.onset_ms !== null)
    .map((one) => ({ note: one.played_note ?? one.note, onset_ms: one.onset_ms, length_ms: one.length_ms }))
    .sort((one, other) => one.onset_ms - other.onset_ms);
  if (rep.lead.state !== "merged" || heard.length === 0) return heard;
  // The note before had gone on sounding from the rep before: nothing was heard to begin.
  const onset_ms = Math.min(rep.lead.expected_ms, heard[0].onset_ms - SHORTEST_MS);
  return [{ note: rep.lead.note, onset_ms, length_ms: heard[0].onset_ms - onset_ms }, ...heard];
}

/** Whether there is anything in it to be heard. */
export const canBeHeard = (rep) => !rep.skipped && sounded(rep).length > 0;

/** With a silence wherever no note reaches the next one: the player stopped blowing. */
function withBreaths(heard, end_ms) {
  let rings_ms = -Infinity;
  return heard.flatMap(({ note, onset_ms, length_ms }, index) => {
    const next_ms = heard[index + 1]?.onset_ms ?? end_ms;
    rings_ms = Math.max(rings_ms, length_ms === null ? next_ms : onset_ms + length_ms);
    const breath = rings_ms < next_ms - BREATH_MS ? [{ note: null, at_ms: rings_ms }] : [];
    return [{ note, at_ms: onset_ms }, ...breath];
  });
}

/**
 * What sounds when, in seconds: {notes: [{at_s, note}], clicks: [{at_s, accent}], end_s, beat_s}.
 *
 * The clicks are those of the rep, where they were; `beat_s` is the ornament's own beat. A note that is null is silence.
 */
export function played(rep, timetable) {
  const asked = askedOf(timetable, rep.rep);
  const click_ms = MS_PER_MINUTE / timetable.click_bpm;
  // Without the click the rep is heard by the player's own pulse, as it was judged.
  const own_ms = beat_ms({ reps: [rep], readings: {}, sequence: timetable.sequence }, rep.rep);
  const clicks_ms = asked.clicks_ms.map((at_ms) => own_ms + at_ms);
  const heard = sounded(rep);
  const last = heard.at(-1);
  const rings_ms = last.length_ms === null ? Infinity : last.onset_ms + last.length_ms;
  const end_ms = Math.max(Math.min(rings_ms, own_ms + asked.end_offset_ms + click_ms), last.onset_ms + SHORTEST_MS);
  const from_ms = Math.min(clicks_ms[0], heard[0].onset_ms);
  const seconds = (ms) => (ms - from_ms) / 1000;
  return {
    notes: withBreaths(heard, end_ms).map(({ note, at_ms }) => ({ note, at_s: seconds(at_ms) })),
    clicks: clicks_ms.map((at_ms, index) => ({ at_s: seconds(at_ms), accent: index === 0 })),
    end_s: seconds(end_ms),
    beat_s: seconds(own_ms),
  };
}

/** The same rep as it was asked. */
export const model = (rep, timetable) => score([{ asked: askedOf(timetable, rep.rep), beat_ms: 0 }]);
