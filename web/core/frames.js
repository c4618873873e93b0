/**
 * The shapes of what the daemon says, checked before anything of it reaches the screen.
 *
 * A type is a word: `text`, `number`, `flag`, or another shape; `[]` after it: a list; `|null`: may be null;
 * `?` after a field's name: may be left out. Unknown fields are let pass: a newer daemon may tell more.
 */

const RESULT = {
  note: "text", state: "text", "played_note?": "text", expected_ms: "number",
  onset_ms: "number|null", deviation_ms: "number|null", length_ms: "number|null",
};
const REP = {
  rep: "number", lead: "LeadResult", clean: "flag", skipped: "flag", faults: "Fault[]", said: "text",
  anchor_ms: "number|null", placement: "Placement", shape: "Shaped", around: "AroundResult", steps: "StepResult[]", extras: "ExtraResult[]",
};

export const SHAPES = {
  StepShown: { step: "number", note: "text", kind: "text", sounds: "flag", offset_ms: "number", length_ms: "number" },
  DrillShown: {
    drill: "text", ornament: "text", lead: "text", theme: "text", spelled: "text", beat_step: "number",
    lead_offset_ms: "number", lead_sounds: "flag", end_offset_ms: "number", steps: "StepShown[]",
  },
  GridShown: { beat0_ns: "number", click_bpm: "number", count_in: "number", clicks_per_rep: "number", ornament_beat: "number", click_off: "flag" },
  StepResult: { step: "number", kind: "text", ...RESULT },
  LeadResult: RESULT,
  ExtraResult: { note: "text", onset_ms: "number", length_ms: "number|null", extra: "text" },
  Fault: { fault: "text", step: "number|null", said: "text", do: "text", drill: "text|null" },
  RepResult: REP,
  PracticeShown: {
    drill: "text", asked: "DrillShown", sequence: "DrillShown[]", left_out: "text", grid: "GridShown", standard: "text", on_beat_ms: "number", spread: "number",
    layout: "text", reps: "RepResult[]", in_a_row: "number", clean: "number", played: "number", ladder: "LadderShown|null",
    feedback: "FeedbackShown", doubt: "text",
  },
  EndedShown: { practice: "PracticeShown", continuation: "Continuation|null", remarks: "Remarks|null" },
  Continuation: {
    intervals: "number", asked_bpm: "number", kept_bpm: "number|null", drift_percent: "number|null",
    timer_ms: "number|null", hand_ms: "number|null", sure: "flag", said: "text[]",
  },
  Next: { said: "text", drill: "text", click_bpm: "number" },
  Remarks: { steady: "text[]", unsteady: "text[]", open: "text[]", next: "Next|null" },
  Lengths: { steps: "number[]", lengths_ms: "number[]", longest_over_shortest: "number|null", spread_ms: "number|null" },
  Placement: { off_ms: "number|null", of_click: "number|null" },
  Shaped: { held: "Lengths", quick: "Lengths" },
  KeptNote: { length_ms: "number|null", asked_ms: "number", off_ms: "number|null" },
  AroundResult: { lead: "KeptNote", theme: "KeptNote" },
  GuessesShown: { said: "number", right: "number", wrong_by_ms: "number|null" },
  FeedbackShown: {
    schedule: "text", live: "flag", withheld: "number[]", said: "text|null", more: "text", ask: "number|null",
    guesses: "GuessesShown|null", clean: "number", played: "number", in_a_row: "number",
  },
  LadderRuleShown: {
    first_bpm: "number", raise_bpm: "number", in_a_row: "number",
    top_bpm: "number", tries: "number", performing_bpm: "number",
  },
  LadderShown: {
    rule: "LadderRuleShown", phase: "text", click_bpm: "number", row: "number", tries_left: "number",
    held_bpm: "number|null", move: "text|null", outcome: "text|null",
    said: "text", full_row: "text", full_row_bpm: "number|null", no_row: "text", no_row_bpm: "number|null", whole: "text", rungs: "number[]",
  },
  ChanterShown: {
    input: "text", state: "text", said: "text", profile: "text", timing: "text",
    calibration_ms: "number|null", sounding: "text|null",
  },
  LearningShown: { state: "text", next_note: "text|null", heard: "number", said: "text" },
  CalibrationShown: {
    state: "text", grid: "GridShown", clicks: "number", heard: "number",
    calibration_ms: "number|null", spread_ms: "number|null", said: "text",
  },
  SeatShown: {
    seat: "text", name: "text", player: "PlayerShown", chanter: "ChanterShown", practice: "PracticeShown|null", ended: "EndedShown|null",
    learning: "LearningShown|null", calibration: "CalibrationShown|null", session: "SessionShown|null",
  },
  PlanPartShown: { name: "text", drill: "text", how_long: "text", warm_up: "flag", click_bpm: "number" },
  PlanShown: { key: "text", name: "text", said: "text", parts: "PlanPartShown[]" },
  SessionShown: {
    plan: "PlanShown", state: "text", paused: "flag", part: "number", left_s: "number|null",
    reps: "number", reps_wanted: "number|null", said: "text", news: "text", reminder: "text",
  },
  PlayerShown: { number: "number", name: "text" },
  HistoryShown: { kept: "flag", said: "text" },
  ChoiceShown: { name: "text", said: "text" },
  StateShown: {
    version: "text", clock_ns: "number", seats: "SeatShown[]", standards: "ChoiceShown[]", profiles: "ChoiceShown[]",
    drill: "text", click_bpm: "number", tempo_range: "number[]",
    layouts: "ChoiceShown[]", feedbacks: "ChoiceShown[]", standard: "text", spread: "number", spread_range: "number[]",
    ladder: "LadderRuleShown", paces: "PaceShown[]", history: "HistoryShown",
  },
  SpreadShown: { seats: "number", middle_ms: "number|null", spread_ms: "number|null" },
  BandStepShown: { step: "number", note: "text", seats: "number", middle_ms: "number|null", spread_ms: "number|null" },
  WallBar: { note: "text", at_ms: "number", length_ms: "number|null", theme: "flag" },
  WallSeat: {
    seat: "text", name: "text", rep: "number|null", bars: "WallBar[]", word: "text", way: "text|null",
    in_a_row: "number", away: "flag",
  },
  WallOnsets: { note: "text", onsets_ms: "number[]", middle_ms: "number|null", spread_ms: "number|null" },
  WallBand: { rep: "number", seats: "number", steps: "WallOnsets[]", said: "text", trend: "text" },
  PaceShown: {
    name: "text", said: "text", source: "text",
    first: "number", low: "number", high: "number", performing: "number",
  },
};

export const FRAMES = {
  hello: { clock_ns: "number", state: "StateShown" },
  clock: { sent: "number", received_ns: "number", replied_ns: "number" },
  grid: { seat: "text", practice: "PracticeShown|null", "continuation?": "Continuation", "remarks?": "Remarks" },
  ladder: { seat: "text", ladder: "LadderShown" },
  session: { seat: "text", session: "SessionShown" },
  note: { seat: "text", note: "text|null", "midi?": "number", at_ns: "number", onset_ms: "number|null" },
  step: {
    seat: "text", rep: "number", final: "flag", heard_ns: "number", sent_ns: "number",
    step: "number", step_kind: "text", ...RESULT,
  },
  rep: {
    seat: "text", final: "flag", in_a_row: "number", clean_count: "number", played_count: "number",
    heard_ns: "number", sent_ns: "number", ...REP,
  },
  feedback: { seat: "text", feedback: "FeedbackShown" },
  doubt: { seat: "text", doubt: "text" },
  chanter: { seat: "text", chanter: "ChanterShown" },
  learning: { seat: "text", learning: "LearningShown|null" },
  calibration: { seat: "text", calibration: "CalibrationShown|null" },
  history: { history: "HistoryShown" },
  resync: { lost: "number", state: "StateShown" },
  error: { said: "text" },
  band: { rep: "number", seats: "number", steps: "BandStepShown[]", beat: "SpreadShown", together_ms: "number|null" },
  wall: {
    state: "text", exercise: "DrillShown|null", click_bpm: "number|null", rep: "number|null", seats: "WallSeat[]",
    band: "WallBand|null", picture_m: "number", distance_m: "number",
  },
};

const PLAIN = {
  text: (value) => typeof value === "string",
  number: (value) => Number.isFinite(value),
  flag: (value) => typeof value === "boolean",
};

/** A frame that the page cannot read; its message is one sentence for the screen. */
export class FrameError extends Error {}

function checkValue(value, type, where) {
  if (type.endsWith("|null")) {
    if (value === null) return;
    checkValue(value, type.slice(0, -"|null".length), where);
  } else if (type.endsWith("[]")) {
    if (!Array.isArray(value)) throw new FrameError(`${where} is not a list.`);
    value.forEach((one, index) => checkValue(one, type.slice(0, -"[]".length), `${where}[${index}]`));
  } else if (type in PLAIN) {
    if (!PLAIN[type](value)) throw new FrameError(`${where} is ${JSON.stringify(value)}; it must be a ${type}.`);
  } else {
    checkFields(value, SHAPES[type], where);
  }
}

function checkFields(value, fields, where) {
  if (typeof value !== "object" || value === null) throw new FrameError(`${where} is not an object.`);
  for (const [field, type] of Object.entries(fields)) {
    const name = field.replace("?", "");
    if (name in value) checkValue(value[name], type, `${where}.${name}`);
    else if (name === field) throw new FrameError(`${where} has no '${name}'.`);
  }
}

/** The frame itself, if it is one of the daemon's; throws FrameError naming the field that is wrong. */
export function checked(frame) {
  if (typeof frame !== "object" || frame === null) throw new FrameError("A frame is not an object.");
  if (!Object.hasOwn(FRAMES, frame.kind)) throw new FrameError(`A frame of kind '${frame.kind}' is not known to this page.`);
  checkFields(frame, FRAMES[frame.kind], `The frame '${frame.kind}'`);
  return frame;
}

/** The state of `GET /api/state`, checked in the same way. */
export function checkedState(state) {
  checkFields(state, SHAPES.StateShown, "The state");
  return state;
}
