/**
 * What the page knows, and how a frame changes it: reduce(state, frame) -> state. Pure; nothing is changed in place.
 *
 * A run is kept on screen after it has ended and while the daemon is away. Each player has a state of their own.
 */

import { closedBook } from "../book/state.js";
import { FrameError, checked } from "./frames.js";
import { closedProgress } from "../progress/state.js";
import { lastPlayed } from "../practise/reading.js";

const REPS_KEPT = 12;
const HEARD_KEPT = 40;

export const nothing = () => ({
  link: { state: "connecting", again_at_ms: null },
  daemon: null,
  seats: {},
  trouble: null,
  view: "practise",
  book: closedBook(),
  progress: closedProgress(),
  hearing: null,
});

const runFrom = (practice) => ({
  drill: practice.drill,
  sequence: practice.sequence,
  left_out: practice.left_out,
  grid: practice.grid,
  standard: practice.standard,
  reps: practice.reps.slice(-REPS_KEPT),
  in_a_row: practice.in_a_row,
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
  // A ladder tells every rep; what was chosen for other runs is kept.
  feedback: practice.ladder ? before.feedback : practice.feedback.schedule,
  click_off: practice.ladder ? before.click_off : practice.grid.click_off,
  climbs: practice.ladder !== null,
  rule: practice.ladder?.rule ?? before.rule,
});

/** The last run, which is over: as the daemon tells it, or as this page knows it. */
function runOver(ended, before) {
  if (ended === null) return before && { ...before, ended: true };
  const { practice, continuation, remarks } = ended;
  const same = before?.grid.beat0_ns === practice.grid.beat0_ns;
  const seen = same ? { heard: before.heard, picked: before.picked } : {};
  return { ...runFrom(practice), ...seen, continuation, remarks, ended: true };
}

function seatFrom(told, before, daemon) {
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
  const wanted = before?.wanted ?? (told.ended ? wantedFrom(told.ended.practice, offered) : offered);
  return {
    seat: told.seat,
    player: told.player,
    chanter: told.chanter,
    learning: told.learning,
    calibration: told.calibration,
    session: told.session,
    sounding: { note: told.chanter.sounding, midi: null, at_ns: daemon.clock_ns },
    run: told.practice ? runFrom(told.practice) : runOver(told.ended, before?.run ?? null),
    wanted: told.practice ? wantedFrom(told.practice, wanted) : wanted,
  };
}

/** The state with everything taken anew from what the daemon told. */
function takeAll(state, daemon) {
  const seats = daemon.seats.map((told) => [told.seat, seatFrom(told, state.seats[told.seat], daemon)]);
  return { ...state, daemon, seats: Object.fromEntries(seats) };
}

/** The state with one player changed by `change(player) -> fields`; throws FrameError if there is no such player. */
function withSeat(state, id, change) {
  const seat = state.seats[id];
  if (!seat) throw new FrameError(`A frame is about '${id}', who is not known to this page.`);
  return { ...state, seats: { ...state.seats, [id]: { ...seat, ...change(seat) } } };
}

const began = (seat, frame) =>
  frame.practice
    ? { run: runFrom(frame.practice), wanted: wantedFrom(frame.practice, seat.wanted) }
    : { run: seat.run && { ...seat.run, ended: true, continuation: frame.continuation ?? null, remarks: frame.remarks ?? null } };

function heard(seat, frame) {
  const sounding = { note: frame.note, midi: frame.midi ?? null, at_ns: frame.at_ns };
  if (!seat.run || seat.run.ended || frame.onset_ms === null) return { sounding };
  const one = { note: frame.note, onset_ms: frame.onset_ms };
  return { sounding, run: { ...seat.run, heard: [...seat.run.heard, one].slice(-HEARD_KEPT) } };
}

function read(seat, frame) {
  if (!seat.run) throw new FrameError("A step was read, but there is no run.");
  const { kind, ...step } = frame;
  const ofRep = { ...seat.run.readings[frame.rep], [frame.step]: step };
  return { run: { ...seat.run, readings: { ...seat.run.readings, [frame.rep]: ofRep } } };
}

function judged(seat, frame) {
  if (!seat.run) throw new FrameError("A rep was judged, but there is no run.");
  const { kind, seat: _, final, in_a_row, clean_count, played_count, heard_ns, sent_ns, ...rep } = frame;
  const others = seat.run.reps.filter((one) => one.rep !== rep.rep);
  const reps = [...others, rep].sort((one, other) => one.rep - other.rep).slice(-REPS_KEPT);
  const readings = Object.fromEntries(Object.entries(seat.run.readings).filter(([index]) => Number(index) > rep.rep));
  return { run: { ...seat.run, reps, readings, in_a_row, clean: clean_count, played: played_count } };
}

/** The next state. Throws FrameError for a kind that is not known, a malformed frame, a player or run that is not there. */
export function reduce(state, frame) {
  checked(frame);
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
    case "feedback":
      return withSeat(state, frame.seat, (seat) => toldAnew(seat, frame));
    case "doubt":
      return withSeat(state, frame.seat, (seat) => doubted(seat, frame));
    case "ladder":
      return withSeat(state, frame.seat, (seat) => climbed(seat, frame));
    case "session":
      return withSeat(state, frame.seat, () => ({ session: frame.session }));
    case "chanter":
      return withSeat(state, frame.seat, () => ({ chanter: frame.chanter }));
    case "learning":
      return withSeat(state, frame.seat, () => ({ learning: frame.learning }));
    case "calibration":
      return withSeat(state, frame.seat, () => ({ calibration: frame.calibration }));
    case "history":
      return { ...state, daemon: { ...state.daemon, history: frame.history } };
    case "band": // about a whole class: the wall and the desk show it
    case "wall":
      return state;
    case "error":
      return withTrouble(state, frame.said);
    default:
      throw new FrameError(`A frame of kind '${frame.kind}' is not known to this page.`);
  }
}

function toldAnew(seat, frame) {
  if (!seat.run) throw new FrameError("Feedback was told, but there is no run.");
  return { run: { ...seat.run, feedback: frame.feedback } };
}

function doubted(seat, frame) {
  if (!seat.run) throw new FrameError("A doubt was told, but there is no run.");
  return { run: { ...seat.run, doubt: frame.doubt } };
}

function climbed(seat, frame) {
  if (!seat.run) throw new FrameError("A ladder was told, but there is no run.");
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
export const withHearing = (state, hearing) => ({
  ...state,
  hearing,
  book: { ...state.book, hearing: hearing?.kind === "drill" ? hearing : null },
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
