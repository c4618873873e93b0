/** Wires the page: frames change the state, the state is drawn once a frame, controls ask the daemon. */

import * as api from "./core/api.js";
import { attempts } from "./core/requests.js";
import { actions } from "./practise/actions.js";
import { bookView } from "./book/book.js";
import { Chooser } from "./practise/chooser.js";
import { climbView } from "./ladder/climb.js";
import { controls, wholeDrill } from "./practise/controls.js";
import { drillLookup } from "./practise/drill_lookup.js";
import { flyouts } from "./ui/flyout.js";
import { changes } from "./core/changes.js";
import { frameChecks } from "./core/frames.js";
import { themeButton } from "./ui/theme.js";
import { elsewhereView, header, notices, viewLinks } from "./ui/header.js";
import { Playback } from "./audio/playback.js";
import { playbackView } from "./audio/playback_view.js";
import { historyView } from "./history/history.js";
import { loadSettings, saveSettings } from "./core/settings.js";
import { listen } from "./core/keys.js";
import { listenView } from "./listen/listen.js";
import { ladderForm } from "./ladder/form.js";
import { MAY_BE_NONE } from "./ladder/words.js";
import { Live } from "./core/live.js";
import { Metronome } from "./audio/metronome.js";
import { clickSource } from "./audio/click_source.js";
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
  busyAt, nothing, pick, reduce, runShown, running, sessionClosed, want, withBook, withPlayback, withProgress, withTrouble,
} from "./core/state.js";
import { repToPlay } from "./practise/reading.js";
import { beatNow } from "./practise/strip_view.js";
import { speak } from "./ui/speak.js";
import { diagnosticsView } from "./setup/diagnostics.js";
import { todayView } from "./plans/today.js";
import { repToGuess, visibleFilter } from "./core/feedback_filter.js";
import { recentView } from "./practise/recent.js";
import { tunesView } from "./tunes/tunes.js";
import { wireControls } from "./practise/wiring.js";
import { NOT_YET, misread } from "./ui/words.js";

const STILL = matchMedia("(prefers-reduced-motion: reduce)");
/** While nobody sits there: every beat is as in the book. */
const NO_PLACEMENTS = [];
/** By then the history holds the last rep of a run. */
const WRITTEN_MS = 500;
/** The frames with which a run or a calibration begins or ends, or may have. */
const BEGINS = ["hello", "resync", "grid", "calibration"];

const find = (selector) => document.querySelector(selector);
const page = {
  checks: null, state: nothing(), settings: loadSettings(), refused: null, restart: null,
  due: false, arriving: false, starting: false, missed: false, waiting: [], when: changes(), turned: 0,
};
const { attempt, load } = attempts({ refuse, draw });
const asked = new URLSearchParams(location.search).get("seat");

/** The number of whoever sits there; null while that is not known. */
const playerOf = (seat) => seat?.player.number ?? null;
const visible = visibleFilter();
const drillOf = drillLookup({ load, draw });
const shown = () => page.state.seats[asked] ?? Object.values(page.state.seats)[0] ?? null;
const closeFlyouts = flyouts([...document.querySelectorAll("details.flyout")]);
const voice = new Playback((playback) => change(withPlayback(page.state, playback)));
const { advised, guess, nudge, placeBeat, practise, startLine, startPlan, toggle, typedTempo, wish } = actions({
  find, page, shown, change, draw, refuse, attempt, sound, set, closeFlyouts, hush: () => voice.stop(),
});

function change(next) {
  page.state = next;
  draw();
}

function draw() {
  if (page.due) return;
  page.due = true;
  requestAnimationFrame(paint);
}

/** Draw everything, also what the state does not show to have changed. */
function redraw() {
  page.turned += 1;
  draw();
}

function take(frame, now_ms) {
  const before = playerOf(shown());
  try {
    change(reduce(page.state, page.checks.frame(frame)));
  } catch (error) {
    console.error("A frame was not understood:", frame, error);
    change(withTrouble(page.state, misread(error.message)));
    return;
  }
  if (playerOf(shown()) !== before) satDown();
  if (frame.kind === "hello" && page.missed) {
    refuse(null);
    route();
  }
  if (BEGINS.includes(frame.kind)) begun();
  if (frame.kind === "clock") live.clock.hear(frame, now_ms);
  if (["hello", "resync"].includes(frame.kind) && page.state.view === "history") past.open(routeOf(location.hash).name);
  if (frame.kind === "hello" && shown() && !running(shown())) keepRule(page.settings.rule);
  if (frame.kind === "ladder" && frame.ladder.move && page.settings.speak && frame.seat === shown()?.seat) speak(frame.ladder.said);
  if (frame.kind === "chanter") fetchProfile(frame.chanter.profile);
}

/** Somebody else sits there, or the page knows only now who does: what it shows and what was wished is theirs. */
function satDown() {
  if (page.refused === NOT_YET) refuse(null);
  if (page.state.view === "tunes") tunes.open(routeOf(location.hash).name);
  for (const act of page.waiting.splice(0)) act();
}

/** A run or a calibration began or ended, or all may be otherwise. */
function begun() {
  if (busy()) voice.stop();
  else setTimeout(() => busy() || today.look(), WRITTEN_MS);
}

/** The rule that this browser kept, if it is one, until another is set. */
function keepRule(rule) {
  const kept = (field) => Number.isFinite(rule?.[field]) || (field in MAY_BE_NONE && rule?.[field] === null);
  if (Object.keys(page.state.daemon.ladder).every(kept)) change(want(page.state, shown().seat, { rule }));
}

/** A chanter that was just learned has a profile that was not there in the state that the daemon sent. */
function fetchProfile(name) {
  if (page.state.daemon.profiles.some((profile) => profile.name === name)) return;
  load(async () => {
    const daemon = page.checks.state(await api.state());
    page.state = { ...page.state, daemon }; // only now: frames may have come in while we waited
  });
}

/** Say why something is not done; null: nothing is refused any more. */
function refuse(said) {
  page.refused = said;
  draw();
}

/** These drills on a sheet of that title, ready to be made. */
function print(drills, title) {
  turn((book) => ({ ...book, sheet: drills }));
  find("#sheet-title").value = title;
  find("#sheet").showModal();
}

/** Show the view that the address names. */
function route() {
  const { view, name } = routeOf(location.hash);
  change({ ...page.state, view });
  voice.stop();
  page.missed = page.state.link.state === "away"; // opened again once the daemon answers
  ({ book, diagnostics, listen: justPlay, plans, progress, report, tunes, history: past })[view]?.open(name);
}

async function sound() {
  await metronome.allow();
  draw();
}

function set(settings) {
  page.settings = { ...page.settings, ...settings };
  saveSettings(page.settings);
  metronome.turn();
  draw();
}

const toClick = () => clickSource(page.state.link, shown(), live.clock);

/** Whether nothing else may sound: something is clicked to, or a run goes on without a click. */
const busy = () => toClick() !== null || running(shown());

const chooser = new Chooser(find("#drill"), find("#drills"), { take: (drill) => wish({ drill }), list: api.drills, look: api.drill });
const views = {
  views: viewLinks(find),
  elsewhere: elsewhereView(find, toggle),
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
    lead: (tune) => {
      if (["practise", "tunes"].includes(page.state.view)) location.hash = tune === null ? "#practise" : `#tunes/${encodeURIComponent(tune)}`;
    },
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
const plans = plansView(find, { attempt, propose: () => today.look(), start: (key) => startPlan((seat) => api.startPlan(seat, key)), now: () => page.state.daemon });
const today = todayView(
  [
    { place: find("#today"), whole: false },
    { place: find("#plans-today"), whole: true },
  ],
  { attempt, load, seat: () => shown()?.seat ?? null, start: startLine, choose: ({ drill, click_bpm }) => advised({ practise: drill, tempo: click_bpm }), all: () => startPlan(api.startProposed) },
);
const turn = (act) => change(withBook(page.state, act));
const sounding = { hear: voice, attempt, settings: () => page.settings, set };
const playback = playbackView(find, {
  ...sounding,
  now: () => ({ state: page.state, seat: shown() }),
  turn,
  halt: () => api.stopPractice(shown().seat),
});
const recent = recentView(find, {
  ...sounding,
  tuning: playback.tuning,
  pick: (rep) => change(pick(page.state, shown().seat, rep)),
});
const book = bookView(find, { now: () => page.state, placements: () => shown()?.placements ?? NO_PLACEMENTS, turn, practise, ...playback });
const past = historyView(find, {
  ...sounding,
  tuning: playback.tuning,
  player: () => playerOf(shown()),
  practise,
  redraw,
});
const tunes = tunesView(find, {
  attempt,
  seat: () => shown()?.seat ?? null,
  practise,
  startPlan,
  print,
  redraw,
  hear: voice,
  tuning: playback.tuning,
  range: () => page.state.daemon?.tempo_range,
  halt: async () => busyAt(shown()) && api.stopPractice(shown().seat),
  now: shown,
  sound,
  settings: () => page.settings,
  set,
  playback: () => page.state.playback,
  feedbacks: () => page.state.daemon?.feedbacks ?? [],
});
const justPlay = listenView(find, {
  attempt, practise, begin: startPlan, redraw, seat: shown, leave: () => attempt(() => api.stopPractice(shown().seat)),
});
const sheet = sheetView(find, turn);
const diagnostics = diagnosticsView(find, attempt);
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
  redraw,
});
const metronome = new Metronome(toClick, () => page.settings);
const live = new Live(`${location.protocol === "https:" ? "wss:" : "ws:"}//${location.host}/live`, {
  hear: take,
  garbled: (said) => change(withTrouble(page.state, said)),
  link: (link) => change({ ...page.state, link }),
  ready: async () => (page.checks ??= frameChecks(await api.frameSchema())),
});

function paint(page_ms) {
  page.due = false;
  const { state, settings } = page;
  const seat = visible(shown());
  const clicking = toClick() !== null;
  if (clicking && metronome.permission === "none") sound();
  const blocked = clicking && metronome.permission === "suspended";
  const wait_s = state.link.again_at_ms === null ? 0 : Math.max(0, Math.ceil((state.link.again_at_ms - page_ms) / 1000));
  const going = running(seat);
  const beat = going ? beatNow(seat, live.clock, page_ms) : NaN;
  const rep = seat?.run ? repToPlay(seat.run, beat) : 0;
  const head_ms = STILL.matches ? null : voice.head_ms;
  const when = page.when.at(page.turned);
  when("notices", [state.link, state.daemon, state.trouble, seat?.chanter, seat?.run, blocked, page.refused, wait_s], () =>
    views.notices(state, seat, { blocked, refused: page.refused, wait_s }),
  );
  when("views", [state.view], () => views.views(state));
  when("seated", [seat === null], () => seated(seat !== null));
  when("elsewhere", [state.view, going, seat?.run?.drill, rep], () => views.elsewhere(state, seat, rep));
  if (page.arriving && state.view === "practise") {
    page.arriving = false;
    find("#toggle").focus();
  }
  book.draw(state);
  when("playback", [state.book, state.daemon, seat?.wanted, settings], () => playback.draw(state, seat));
  when("sheet", [state.book], () => sheet(state.book));
  if (state.view === "progress") progress.draw(state.progress, playerOf(seat));
  if (state.view === "report") report.draw(playerOf(seat));
  if (state.view === "tunes") {
    when("tunes", [tunes.state, seat?.tune_run, seat?.verdicts, state.daemon, state.playback, settings], () => tunes.draw());
    tunes.follow(head_ms);
  }
  if (state.view === "listen" && seat) when("listen", [seat.free, seat.sounding, seat.chanter.input, seat.tune_run, seat.verdicts, busyAt(seat)], () => justPlay.draw(seat, busyAt(seat)));
  if (state.view === "history") past.draw(state.playback);
  if (state.view === "practise") views.play.draw({ state, seat, clock: live.clock, page_ms, head_ms, beat }, when);
  today.draw();
  when("session", [seat?.session], () => views.session(seat));
  when("climb", [seat?.run, seat?.wanted.drill, settings.to_beat], () => views.climb(seat && runShown(seat), settings.to_beat));
  when("recent", [seat?.run, seat?.wanted.drill, state.playback, settings], () => recent.draw(seat, state.playback));
  const unsteady = seat !== null && views.header(seat, live.clock, page_ms);
  if (seat) {
    const listed = drillOf(wholeDrill(seat.wanted.drill));
    when("controls", [state.daemon, seat.run, seat.wanted, settings.to_beat, listed, rep], () =>
      views.controls(state, seat, listed, settings.to_beat, rep),
    );
    when("ladder", [state.daemon, seat.wanted, settings.to_beat], () => views.ladder(state, seat));
    when("players", [seat.player], () => views.players(seat));
    when("setup", [state.daemon, seat.chanter, seat.learning, seat.calibration], () => views.setup(state, seat));
  }
  if (page.starting && going) {
    page.starting = false;
    views.play.reveal();
  }
  if (going || unsteady || state.link.state === "away" || head_ms !== null) draw();
}

/** What is asked of a seat can be asked once the page knows who sits there; before, a typed tempo would be lost. */
function seated(known) {
  for (const fields of document.querySelectorAll("[data-seated]")) fields.disabled = !known;
}

function wire() {
  wireControls(find, { toggle, nudge, typedTempo, wish, placeBeat, set, guess, advised, settings: page.settings });
  // What is not in the state: sizes, open dialogs, and a field that is no longer typed in.
  for (const name of ["resized", "changed", "close", "focusout", "toggle"]) document.addEventListener(name, redraw, true);
  themeButton(find("#theme"), page.settings.theme, (theme) => set({ theme }));
  addEventListener("hashchange", route);
  listen({
    // In other views the space bar only stops what goes on; it starts nothing that is not on screen.
    toggle: () => (page.state.view === "practise" || busyAt(shown())) && toggle(),
    tempo: nudge,
    guess,
    asked: () => repToGuess(shown()) !== null,
    hear: (kind) => ({ history: past, tunes }[page.state.view] ?? recent).play(kind),
    hush: () => voice.stop(),
    accept: () => justPlay.accept(),
  });
  // A recording may be dropped on any view but that of tunes, which takes files of its own.
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    const [file] = event.dataTransfer?.files ?? [];
    if (event.defaultPrevented || !file) return;
    event.preventDefault();
    location.hash = "#listen";
    justPlay.take(file);
  });
}

wire();
route();
metronome.start();
live.open();
draw();
