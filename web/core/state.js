/**
 * What the page knows, and how a frame changes it: reduce(state, frame) -> state. Pure; nothing is changed in place.
 *
 * A run is kept on screen after it has ended and while the daemon is away. Each player has a state of their own.
 */

import { closedBook } from "../book/state.js";
import { FrameError } from "./frames.js";
import { closedProgress } from "../progress/state.js";
import { freeFrom, withFree, withOrnament } from "../listen/state.js";
import { lastPlayed } from "../practise/reading.js";

const REPS_KEPT = 12;
const HEARD_KEPT = 40;
/** Of the ornaments of a tune that is played, the last ones. */
const VERDICTS_KEPT = 60;

export const nothing = () => ({
  link: { state: "connecting", again_at_ms: null },
  daemon: null,
  seats: {},
  trouble: null,
  view: "practise",
  book: closedBook(),
  progress: closedProgress(),
  playback: null,
});

const runFrom = (practice) => ({
  drill: practice.drill,
  sequence: practice.sequence,
  left_out: practice.left_out,
  grid: practice.grid,
  segments: practice.segments,
  standard: practice.standard,
  on_beat_ms: practice.on_beat_ms,
  reps: practice.reps.slice(-REPS_KEPT),
  earlier: [],
  in_a_row: practice.in_a_row,
  provisional: false,
  clean: practice.clean,
  played: practice.played,
  ladder: practice.ladder,
  feedback: practice.feedback,
  doubt: practice.doubt,
  readings: {},
  heard: [],
  continuation: null,
  remarks: null,
  ended: false,
  picked: null,
});

const wantedFrom = (practice, before) => ({
  drill: practice.drill,
  click_bpm: practice.grid.click_bpm,
  standard: practice.standard,
  spread: practice.spread,
  layout: practice.layout,
  // A ladder brings every rep; what was chosen for other runs is kept.
  feedback: practice.ladder ? before.feedback : practice.feedback.schedule,
  click_off: practice.ladder ? before.click_off : practice.grid.click_off,
  climbs: practice.ladder !== null,
  rule: practice.ladder?.rule ?? before.rule,
});

/** Without the rests at the end: a rep that the stop cut off, and those in which the player put the chanter down. */
export const withoutLastRests = (reps) => reps.slice(0, reps.findLastIndex((one) => !one.skipped) + 1);

const over = (run) => ({ ...run, reps: withoutLastRests(run.reps), ended: true });

/** The last run, which is over: from the daemon, or as this page knows it. */
function runOver(ended, before) {
  if (ended === null) return before && over(before);
  const { practice, continuation, remarks } = ended;
  const same = before?.grid.beat0_ns === practice.grid.beat0_ns;
  const seen = same ? { heard: before.heard, picked: before.picked } : {};
  return over({ ...runFrom(practice), ...seen, continuation, remarks });
}

function seatFrom(shown, known, daemon) {
  // Somebody else sits here now: the run on the page was not theirs.
  const before = known && known.player.number === shown.player.number ? known : null;
  const offered = {
    drill: daemon.drill,
    click_bpm: daemon.click_bpm,
    standard: null,
    spread: null,
    layout: null,
    feedback: null,
    click_off: false,
    climbs: false,
    rule: daemon.ladder,
  };
  const wanted = known?.wanted ?? (shown.ended ? wantedFrom(shown.ended.practice, offered) : offered);
  return {
    seat: shown.seat,
    player: shown.player,
    chanter: shown.chanter,
    learning: shown.learning,
    calibration: shown.calibration,
    session: shown.session,
    tune_run: shown.tune_run,
    verdicts: [],
    free: freeFrom(shown.free, before?.free),
    sounds: shown.sounds,
    placements: shown.placements,
    sounding: { note: shown.chanter.sounding, midi: null, at_ns: daemon.clock_ns },
    run: shown.practice ? runFrom(shown.practice) : runOver(shown.ended, before?.run ?? null),
    wanted: shown.practice ? wantedFrom(shown.practice, wanted) : wanted,
  };
}

/** The state with everything taken from the daemon. */
function takeAll(state, daemon) {
  const seats = daemon.seats.map((shown) => [shown.seat, seatFrom(shown, state.seats[shown.seat], daemon)]);
  return { ...state, daemon, seats: Object.fromEntries(seats) };
}

/** The state with one player changed by `change(player) -> fields`; throws FrameError if there is no such player. */
function withSeat(state, id, change) {
  const seat = state.seats[id];
  if (!seat) throw new FrameError(`A frame is about '${id}', who is not known to this page.`);
  return { ...state, seats: { ...state.seats, [id]: { ...seat, ...change(seat) } } };
}

/** The reps of a ladder's tempi before this one, each with what it was played to. */
function earlierOf(run) {
  if (!run || run.ended || run.ladder === null) return [];
  const { sequence, grid, on_beat_ms } = run;
  return [...run.earlier, ...run.reps.map((rep) => ({ rep, of: { sequence, grid, on_beat_ms } }))].slice(-REPS_KEPT);
}

function began(seat, { practice, continuation = null, remarks = null }) {
  if (practice === null) return { run: seat.run && over({ ...seat.run, continuation, remarks }) };
  const earlier = practice.ladder === null ? [] : earlierOf(seat.run);
  return { run: { ...runFrom(practice), earlier }, wanted: wantedFrom(practice, seat.wanted) };
}

function heard(seat, frame) {
  const sounding = { note: frame.note, midi: frame.midi ?? null, at_ns: frame.at_ns };
  if (!seat.run || seat.run.ended || frame.onset_ms === null) return { sounding };
  const one = { note: frame.note, onset_ms: frame.onset_ms };
  return { sounding, run: { ...seat.run, heard: [...seat.run.heard, one].slice(-HEARD_KEPT) } };
}

function read(seat, frame) {
  if (!seat.run) throw new FrameError("A step was heard, but there is no run.");
  const { kind, ...step } = frame;
  const ofRep = { ...seat.run.readings[frame.rep], [frame.step]: step };
  return { run: { ...seat.run, readings: { ...seat.run.readings, [frame.rep]: ofRep } } };
}

/** The next segment's place in time, sent as the one before it starts. */
function placed(seat, { segment }) {
  if (!seat.run) throw new FrameError("A rep was placed in time, but there is no run.");
  return { run: { ...seat.run, segments: [...seat.run.segments, segment].slice(-REPS_KEPT) } };
}

/** A verdict, first from the best reading so far and then the final one: the later takes the place of the earlier. */
function judged(seat, frame) {
  if (!seat.run) throw new FrameError("A rep was judged, but there is no run.");
  const { kind, seat: _, final, in_a_row, clean_count, played_count, heard_ns, sent_ns, ...rep } = frame;
  const others = seat.run.reps.filter((one) => one.rep !== rep.rep);
  const reps = [...others, rep].sort((one, other) => one.rep - other.rep).slice(-REPS_KEPT);
  const readings = Object.fromEntries(Object.entries(seat.run.readings).filter(([index]) => Number(index) > rep.rep));
  return { run: { ...seat.run, provisional: !final, reps, readings, in_a_row, clean: clean_count, played: played_count } };
}

/** The next state, by a frame that was checked. Throws FrameError for a kind that is not known, a seat or run that is not there. */
export function reduce(state, frame) {
  switch (frame.kind) {
    case "hello":
    case "resync":
      return takeAll(state, frame.state);
    case "clock":
      return state;
    case "grid":
      return withSeat(state, frame.seat, (seat) => began(seat, frame));
    case "note":
      return withSeat(state, frame.seat, (seat) => heard(seat, frame));
    case "step":
      return withSeat(state, frame.seat, (seat) => read(seat, frame));
    case "rep":
      return withSeat(state, frame.seat, (seat) => judged(seat, frame));
    case "segment":
      return withSeat(state, frame.seat, (seat) => placed(seat, frame));
    case "feedback":
      return withSeat(state, frame.seat, (seat) => withFeedback(seat, frame));
    case "doubt":
      return withSeat(state, frame.seat, (seat) => doubted(seat, frame));
    case "ladder":
      return withSeat(state, frame.seat, (seat) => climbed(seat, frame));
    case "session":
      return withSeat(state, frame.seat, () => ({ session: frame.session }));
    case "ornament":
      return withSeat(state, frame.seat, (seat) => ({ free: withOrnament(seat.free, frame) }));
    case "free":
      return withSeat(state, frame.seat, (seat) => ({ free: withFree(seat.free, frame) }));
    case "chanter":
      return withSeat(state, frame.seat, () => ({ chanter: frame.chanter }));
    case "learning":
      return withSeat(state, frame.seat, () => ({ learning: frame.learning }));
    case "calibration":
      return withSeat(state, frame.seat, () => ({ calibration: frame.calibration }));
    case "seats":
      return takeAll(state, { ...state.daemon, seats: frame.seats });
    case "offer":
      return { ...state, daemon: { ...state.daemon, offers: frame.offers } };
    case "history":
      return { ...state, daemon: { ...state.daemon, history: frame.history } };
    case "tune":
      return withSeat(state, frame.seat, () => ({ tune_run: frame.tune_run, ...(frame.tune_run.going ? { verdicts: [] } : {}) }));
    case "cursor":
      return withSeat(state, frame.seat, (seat) => ({ tune_run: ofTune(seat.tune_run, { cursor: frame.note }) }));
    case "tune ornament":
      return withSeat(state, frame.seat, (seat) => ({ verdicts: [...seat.verdicts, frame].slice(-VERDICTS_KEPT) }));
    case "tune feedback":
      return withSeat(state, frame.seat, (seat) => ({ tune_run: ofTune(seat.tune_run, { feedback: frame.feedback }) }));
    case "tune round":
      return withSeat(state, frame.seat, (seat) => ({ tune_run: roundOver(seat.tune_run, frame) }));
    case "sound":
      return withSeat(state, frame.seat, () => ({ sounds: frame.sounds }));
    case "band": // about a whole class: the wall and the desk show it
    case "class":
    case "wall":
      return state;
    case "error":
      return withTrouble(state, frame.said);
    default:
      throw new FrameError(`A frame of kind '${frame.kind}' is not known to this page.`);
  }
}

/** The run through a tune with something of it changed. */
function ofTune(run, change) {
  if (!run) throw new FrameError("A frame is about a tune, but no tune is played.");
  return { ...run, ...change };
}

const roundOver = (run, { round, clean, said, clean_count, played_count, in_a_row, ladder }) =>
  ofTune(run, { last_round: { round, clean, said }, clean: clean_count, rounds: played_count, in_a_row, ladder });

function withFeedback(seat, frame) {
  if (!seat.run) throw new FrameError("Feedback was sent, but there is no run.");
  return { run: { ...seat.run, feedback: frame.feedback } };
}

function doubted(seat, frame) {
  if (!seat.run) throw new FrameError("A doubt was sent, but there is no run.");
  return { run: { ...seat.run, doubt: frame.doubt } };
}

function climbed(seat, frame) {
  if (!seat.run) throw new FrameError("A ladder was sent, but there is no run.");
  return { run: { ...seat.run, ladder: frame.ladder } };
}

/** The state with a trouble to be shown; the same one again is counted. */
export function withTrouble(state, said) {
  const times = state.trouble?.said === said ? state.trouble.times + 1 : 1;
  return { ...state, trouble: { said, times } };
}

/** The state with what this player wants to play next changed: {drill?, click_bpm?, standard?, rule?, ...}. */
export const want = (state, id, change) =>
  withSeat(state, id, (seat) => ({ wanted: { ...seat.wanted, ...change } }));

/** The run to show: the one that is going on, or the last one while its drill is still the one that is wanted; or null. */
export const runShown = (seat) =>
  seat.run && (running(seat) || seat.run.drill === seat.wanted.drill) ? seat.run : null;

/** Whether a run is going on, as far as this page knows. */
export const running = (seat) => Boolean(seat?.run && !seat.run.ended);

/** Whether a tune that was started is going on; one that was noticed needs no stopping. */
export const tuneGoing = (seat) => Boolean(seat?.tune_run?.going && !seat.tune_run.noticed);

/** Whether a run or a tune is going on at a seat: the space bar then stops it. */
export const busyAt = (seat) => running(seat) || tuneGoing(seat);

/** Whether a tempo ladder is going on. */
export const climbing = (seat) => running(seat) && seat.run.ladder !== null;

/** The tempo to show: the ladder's own while it runs, its first tempo before, else the one that is wanted. */
export function tempoShown(seat) {
  if (climbing(seat)) return seat.run.grid.click_bpm;
  return seat.wanted.climbs ? seat.wanted.rule.first_bpm : seat.wanted.click_bpm;
}

/** The state without the session of this player that is over. */
export const sessionClosed = (state, id) => withSeat(state, id, () => ({ session: null }));

/** The state with what is heard now, {kind, ...} or null; the book knows of its drills. */
export const withPlayback = (state, playback) => ({
  ...state,
  playback,
  book: { ...state.book, playback: playback?.kind === "drill" ? playback : null },
});

/** The state with a rep of a run that is over picked, to be seen and heard again. */
export const pick = (state, id, rep) => withSeat(state, id, ({ run }) => ({ run: run && { ...run, picked: rep } }));

/** The rep that was picked to be looked at, or null: then the last one is. */
export const repLooked = (run) => (run.ended && run.reps.find((one) => one.rep === run.picked)) || null;

/** The rep that can be heard again: the picked one, or else the last that was played; null while the run goes on. */
export const repToHear = (run) =>
  run.ended ? (repLooked(run) ?? lastPlayed(run) ?? run.reps.at(-1) ?? null) : null;

/** The state with its book changed by `change(book) -> book`. */
export const withBook = (state, change) => ({ ...state, book: change(state.book) });

/** The state with what the progress view shows changed by `change(progress) -> progress`. */
export const withProgress = (state, change) => ({ ...state, progress: change(state.progress) });
