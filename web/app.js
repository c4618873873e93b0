/** Wires the page: frames change the state, the state is drawn once a frame, controls ask the daemon. */

import * as api from "./core/api.js";
import { attempts } from "./core/requests.js";
import { bookView } from "./book/book.js";
import { Chooser } from "./practise/chooser.js";
import { climbView } from "./ladder/climb.js";
import { controls, held } from "./practise/controls.js";
import { flyouts } from "./ui/flyout.js";
import { checkedState } from "./core/frames.js";
import { ground } from "./ui/theme.js";
import { header, notices, viewLinks } from "./ui/header.js";
import { Hear } from "./audio/playback.js";
import { hearView } from "./audio/playback_view.js";
import { historyView } from "./history/history.js";
import { keep, kept } from "./core/settings.js";
import { listen } from "./core/keys.js";
import { ladderForm, valueFrom } from "./ladder/form.js";
import { LADDER_CHANGED, LADDER_SETS_TEMPO } from "./ladder/words.js";
import { Live } from "./core/live.js";
import { Metronome } from "./audio/metronome.js";
import { plansView } from "./plans/plans.js";
import { playView } from "./practise/view.js";
import { progressView } from "./progress/progress.js";
import { reportView } from "./progress/report.js";
import { routeOf } from "./core/route.js";
import { sessionBar } from "./plans/session.js";
import { playersView } from "./setup/players.js";
import { setup } from "./setup/setup.js";
import { sheetView } from "./book/sheet.js";
import {
  climbing, nothing, pick, reduce, runShown, running, sessionClosed, tempoShown, want, withBook, withHearing,
  withProgress, withTrouble,
} from "./core/state.js";
import { beatNow } from "./practise/strip_view.js";
import { speak } from "./ui/speak.js";
import { statusView } from "./setup/status.js";
import { todayView } from "./plans/today.js";
import { askedRep, toldSeat } from "./core/feedback_filter.js";
import { twelveView } from "./practise/recent.js";
import { wireControls } from "./practise/wiring.js";
import { NO_DRILL, badTempo, misread } from "./ui/words.js";

const RESTART_MS = 700;
const STILL = matchMedia("(prefers-reduced-motion: reduce)");
/** By then the history holds the last rep of a run. */
const WRITTEN_MS = 500;
/** The frames with which a run or a calibration begins or ends, or may have. */
const BEGINS = ["hello", "resync", "grid", "calibration"];

const find = (selector) => document.querySelector(selector);
const page = { state: nothing(), drills: [], settings: kept(), refused: null, restart: null, due: false, arriving: false, starting: false };
const { attempt, load } = attempts({ refuse, draw });
const asked = new URLSearchParams(location.search).get("seat");

/** The number of whoever sits there; null while that is not known. */
const playerOf = (seat) => seat?.player.number ?? null;
const shown = () => page.state.seats[asked] ?? Object.values(page.state.seats)[0] ?? null;

function change(next) {
  page.state = next;
  draw();
}

function draw() {
  if (page.due) return;
  page.due = true;
  requestAnimationFrame(paint);
}

function take(frame, now_ms) {
  try {
    change(reduce(page.state, frame));
  } catch (error) {
    console.error("A frame was not understood:", frame, error);
    change(withTrouble(page.state, misread(error.message)));
    return;
  }
  if (BEGINS.includes(frame.kind)) begun();
  if (frame.kind === "clock") live.clock.hear(frame, now_ms);
  if (frame.kind === "hello") fetchDrills();
  if (["hello", "resync"].includes(frame.kind) && page.state.view === "history") past.open(routeOf(location.hash).name);
  if (frame.kind === "hello" && shown() && !running(shown())) keepRule(page.settings.rule);
  if (frame.kind === "ladder" && frame.ladder.move && page.settings.speak && frame.seat === shown()?.seat) speak(frame.ladder.said);
  if (frame.kind === "chanter") fetchProfile(frame.chanter.profile);
}

/** A run or a calibration began or ended, or all may be otherwise. */
function begun() {
  if (busy()) voice.stop();
  else setTimeout(() => busy() || today.look(), WRITTEN_MS);
}

/** The rule that this browser kept, if it is one, until another is set. */
function keepRule(rule) {
  const whole = Object.keys(page.state.daemon.ladder).every((field) => Number.isFinite(rule?.[field]));
  if (whole) change(want(page.state, shown().seat, { rule }));
}

const fetchDrills = () =>
  load(async () => {
    page.drills = await api.drills();
    chooser.drills = page.drills;
  });

/** A chanter that was just learned has a profile that was not there when the daemon told its state. */
function fetchProfile(name) {
  if (page.state.daemon.profiles.some((profile) => profile.name === name)) return;
  load(async () => {
    const daemon = checkedState(await api.state());
    page.state = { ...page.state, daemon }; // only now: frames may have come in while we waited
  });
}

const start = () => {
  voice.stop();
  page.starting = true;
  return attempt(async () => {
    const { seat, wanted } = shown();
    if (wanted.drill === "") throw new api.Refused(NO_DRILL);
    await api.startPractice(seat, wanted);
  });
};

function toggle() {
  if (!shown()) return;
  sound();
  closeFlyouts();
  clearTimeout(page.restart);
  if (running(shown())) attempt(() => api.stopPractice(shown().seat));
  else start();
}

/** Want something else; a run that is going on begins anew with it, once the player has settled, and a ladder ends. */
function wish(what) {
  if (!shown()) return;
  const locked = climbing(shown());
  change(want(page.state, shown().seat, what));
  if (what.rule) set({ rule: what.rule });
  clearTimeout(page.restart);
  if (locked) endLadder();
  else if (running(shown())) page.restart = setTimeout(start, RESTART_MS);
}

/** The rule is locked while a ladder runs: a change ends it, and says so. */
async function endLadder() {
  await attempt(() => api.stopPractice(shown().seat));
  refuse(page.refused ?? LADDER_CHANGED);
}

/** Tell why something is not done; null: nothing is refused any more. */
function refuse(said) {
  page.refused = said;
  draw();
}

/** Want another tempo, in clicks: the first of the ladder, if one is to be climbed. */
function setTempo(click_bpm) {
  const seat = shown();
  if (!seat) return;
  if (climbing(seat)) refuse(LADDER_SETS_TEMPO);
  else wish(seat.wanted.climbs ? { rule: { ...seat.wanted.rule, first_bpm: click_bpm } } : { click_bpm });
}

const nudge = (by) => {
  if (shown()) setTempo(held(tempoShown(shown()) + by, page.state.daemon.tempo_range));
};

/** Answer what is asked about a rep. */
function guess(word) {
  const rep = askedRep(shown());
  if (rep !== null) attempt(() => api.guess(shown().seat, rep, word));
}

/** Out of the book or the progress view, onto the chanter; at that tempo, if one is named. */
function practise(drill, click_bpm = null) {
  wish(click_bpm === null ? { drill } : { drill, click_bpm });
  location.hash = "#practise";
  page.arriving = true;
}

/** What was advised, chosen by its button: the drill and, if one is said, the tempo; the space bar starts it. */
function advised({ practise, tempo }) {
  wish(tempo === "" ? { drill: practise } : { drill: practise, click_bpm: Number(tempo) });
  find("#toggle").focus();
}

/** Out of the plans, onto the chanter; `begin(player)` asks the daemon. */
async function startPlan(begin) {
  if (!shown()) return;
  sound();
  page.starting = true;
  await attempt(() => begin(shown().seat));
  if (page.refused === null) location.hash = "#practise";
}

/** A line of today's proposal, onto the chanter. */
function startLine({ drill, click_bpm }) {
  const anew = running(shown());
  sound();
  wish({ drill, click_bpm, climbs: false });
  location.hash = "#practise";
  page.arriving = true;
  if (!anew) start();
}

/** Show the view that the address names. */
function route() {
  const { view, name } = routeOf(location.hash);
  change({ ...page.state, view });
  voice.stop();
  if (view === "book") book.open(name);
  if (view === "status") status.open();
  if (view === "plans") plans.open();
  if (view === "progress") progress.open();
  if (view === "report") report.open();
  if (view === "history") past.open(name);
}

function typedTempo(input, unit) {
  const tempo = valueFrom(input.value, unit, page.settings.to_beat);
  page.refused = tempo === null ? badTempo(input.value, page.state.daemon?.tempo_range) : null;
  if (tempo !== null && shown() && tempo !== tempoShown(shown())) setTempo(tempo);
  draw();
}

async function sound() {
  await metronome.allow();
  draw();
}

function set(settings) {
  page.settings = { ...page.settings, ...settings };
  keep(page.settings);
  metronome.turn();
  draw();
}

/** What to click to: the calibration if one runs, else the run. */
function toClick() {
  const seat = shown();
  if (page.state.link.state !== "open" || !seat) return null;
  const { calibration } = seat;
  if (calibration?.state === "running") return { grid: calibration.grid, clock: live.clock, last: calibration.clicks };
  return running(seat) ? { grid: seat.run.grid, clock: live.clock } : null;
}

/** Whether nothing else may sound: something is clicked to, or a run goes on without a click. */
const busy = () => toClick() !== null || running(shown());

const closeFlyouts = flyouts([...document.querySelectorAll("details.flyout")]);
const chooser = new Chooser(find("#drill"), find("#drills"), (drill) => wish({ drill }));
const views = {
  views: viewLinks(find),
  header: header(find),
  notices: notices(find, {
    silent: sound,
    away: () => live.open(),
    refused: () => refuse(null),
    trouble: () => change({ ...page.state, trouble: null }),
  }),
  play: playView(find),
  climb: climbView(find),
  session: sessionBar(find, {
    now: shown,
    attempt,
    close: () => change(sessionClosed(page.state, shown().seat)),
  }),
  ladder: ladderForm(find, {
    now: () => ({ state: page.state, seat: shown() }),
    wish,
    refuse,
    toBeat: () => page.settings.to_beat,
  }),
  controls: controls(find, chooser),
  players: playersView(find, { now: shown }),
  setup: setup(find, { now: shown, sound }),
};
const plans = plansView(find, { attempt, propose: () => today.look(), start: (key) => startPlan((seat) => api.startPlan(seat, key)) });
const today = todayView(
  [
    { place: find("#today"), whole: false },
    { place: find("#plans-today"), whole: true },
  ],
  { attempt, load, seat: () => shown()?.seat ?? null, start: startLine, all: () => startPlan(api.startProposed) },
);
const turn = (act) => change(withBook(page.state, act));
const voice = new Hear((hearing) => change(withHearing(page.state, hearing)));
const sounding = { hear: voice, attempt, settings: () => page.settings, set };
const hearing = hearView(find, {
  ...sounding,
  now: () => ({ state: page.state, seat: shown() }),
  turn,
  halt: () => api.stopPractice(shown().seat),
});
const twelve = twelveView(find, {
  ...sounding,
  tuning: hearing.tuning,
  pick: (rep) => change(pick(page.state, shown().seat, rep)),
});
const book = bookView(find, { now: () => page.state, turn, practise, ...hearing });
const past = historyView(find, {
  ...sounding,
  tuning: hearing.tuning,
  player: () => playerOf(shown()),
  practise,
  redraw: draw,
});
const sheet = sheetView(find, turn);
const status = statusView(find, attempt);
const progress = progressView(find, {
  now: () => page.state.progress,
  turn: (act) => change(withProgress(page.state, act)),
  attempt,
  practise,
  settings: () => page.settings,
  set,
});
const report = reportView(find, {
  now: () => ({ progress: page.state.progress, player: playerOf(shown()) }),
  attempt,
  redraw: draw,
});
const metronome = new Metronome(toClick, () => page.settings);
const live = new Live(`${location.protocol === "https:" ? "wss:" : "ws:"}//${location.host}/live`, {
  hear: take,
  garbled: (said) => change(withTrouble(page.state, said)),
  link: (link) => change({ ...page.state, link }),
});

function paint(page_ms) {
  page.due = false;
  const seat = toldSeat(shown());
  const clicking = toClick() !== null;
  if (clicking && metronome.permission === "none") sound();
  const blocked = clicking && metronome.permission === "suspended";
  views.notices(page.state, seat, { blocked, refused: page.refused }, page_ms);
  views.views(page.state);
  if (page.arriving && page.state.view === "practise") {
    page.arriving = false;
    find("#toggle").focus();
  }
  book.draw(page.state);
  hearing.draw(page.state, seat);
  sheet(page.state.book);
  if (page.state.view === "progress") progress.draw(page.state.progress, playerOf(seat));
  if (page.state.view === "report") report.draw(playerOf(seat));
  if (page.state.view === "history") past.draw(page.state.hearing);
  const head_ms = STILL.matches ? null : voice.head_ms;
  views.play.draw(page.state, seat, live.clock, page_ms, head_ms);
  today.draw();
  views.session(seat);
  views.climb(seat && runShown(seat), page.settings.to_beat);
  twelve.draw(seat, page.state.hearing);
  let unsteady = false;
  if (seat) {
    unsteady = views.header(seat, live.clock, page_ms);
    const beat = running(seat) ? beatNow(seat, live.clock, page_ms) : NaN;
    views.controls(page.state, seat, page.drills, page.settings.to_beat, beat);
    views.ladder(page.state, seat);
    views.players(seat);
    views.setup(page.state, seat);
  }
  if (page.starting && running(seat)) {
    page.starting = false;
    views.play.reveal();
  }
  if (running(seat) || unsteady || page.state.link.state === "away" || head_ms !== null) draw();
}

function wire() {
  wireControls(find, { toggle, nudge, typedTempo, wish, set, guess, advised, settings: page.settings });
  for (const name of ["resized", "changed", "close"]) document.addEventListener(name, draw, true);
  ground(find("#ground"), page.settings.ground, (chosen) => set({ ground: chosen }));
  addEventListener("hashchange", route);
  listen({
    toggle,
    tempo: nudge,
    guess,
    asked: () => askedRep(shown()) !== null,
    hear: (kind) => (page.state.view === "history" ? past : twelve).play(kind),
    hush: () => voice.stop(),
  });
}

wire();
route();
metronome.start();
live.open();
draw();
