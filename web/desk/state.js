/** What the desk knows, and how a frame changes it. Pure. */

import { sameClick } from "../core/klass.js";
import { FrameError } from "../core/frames.js";

export const nothing = () => ({
  link: { state: "connecting", again_at_ms: null },
  daemon: null,
  klass: null,
  wall: null,
  refused: null,
  wanted: {
    drill: "", click_bpm: 60, layout: null, standard: null,
    climbs: false, ladder: { in_a_row: 3, share: 0.75, raise_bpm: 4, top_bpm: 80 },
  },
});

/** What the form offers: the last class if there was one, else what the daemon offers first. */
function wantedFrom(state, daemon) {
  if (state.daemon !== null) return state.wanted;
  return { ...state.wanted, drill: daemon.drill, click_bpm: daemon.click_bpm };
}

/** The form as the class has it, when another page called it. */
export function withClass(state, klass) {
  const before = state.klass;
  const next = { ...state, klass: keepClick(before, klass) };
  if (klass.drill === null || (before && before.drill === klass.drill && before.state === klass.state)) return next;
  if (klass.state !== "playing") return next;
  const { drill, click_bpm, layout, standard, ladder } = klass;
  const rule = ladder && { in_a_row: ladder.in_a_row, share: ladder.share, raise_bpm: ladder.raise_bpm, top_bpm: ladder.top_bpm };
  return { ...next, wanted: { drill, click_bpm, layout, standard, climbs: ladder !== null, ladder: rule ?? state.wanted.ladder } };
}

const keepClick = (before, klass) => (before ? { ...klass, click: sameClick(before.click, klass.click) } : klass);

const changeSeat = (state, id, change) => ({
  ...state,
  daemon: { ...state.daemon, seats: state.daemon.seats.map((seat) => (seat.seat === id ? { ...seat, ...change } : seat)) },
});

/** The next state, by a frame that was checked. Throws FrameError for a kind that the desk is not sent. */
export function reduce(state, frame) {
  switch (frame.kind) {
    case "hello":
    case "resync":
      return { ...state, daemon: frame.state, wanted: wantedFrom(state, frame.state) };
    case "clock":
    case "band":
      return state;
    case "class":
      return withClass(state, frame.now);
    case "wall":
      return { ...state, wall: frame };
    case "seats":
      return { ...state, daemon: { ...state.daemon, seats: frame.seats } };
    case "offer":
      return { ...state, daemon: { ...state.daemon, offers: frame.offers } };
    case "chanter":
      return changeSeat(state, frame.seat, { chanter: frame.chanter });
    case "calibration":
      return changeSeat(state, frame.seat, { calibration: frame.calibration });
    case "learning":
      return changeSeat(state, frame.seat, { learning: frame.learning });
    case "sound":
      return changeSeat(state, frame.seat, { sounds: frame.sounds });
    case "history":
      return { ...state, daemon: { ...state.daemon, history: frame.history } };
    case "error":
      return { ...state, refused: frame.said };
    default:
      throw new FrameError(`A frame of kind '${frame.kind}' is not known to the desk.`);
  }
}

/** What is sent to start the class. */
export const called = ({ drill, click_bpm, layout, standard, climbs, ladder }) => ({
  drill, click_bpm, layout, standard, ...(climbs ? { ladder } : {}),
});

/** The seats as the desk lists them: each with its row of the wall. */
export const rows = ({ daemon, wall }) =>
  (daemon?.seats ?? []).map((seat) => ({ ...seat, row: wall?.seats.find((one) => one.seat === seat.seat) ?? null }));
