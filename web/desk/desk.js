/** The teacher's desk: listens to the desk's own frames, and does what is pressed. */

import * as api from "../core/api.js";
import { attempts } from "../core/requests.js";
import { changes } from "../core/changes.js";
import { frameChecks } from "../core/frames.js";
import { Live } from "../core/live.js";
import { loadSettings, saveSettings } from "../core/settings.js";
import { Metronome } from "../audio/metronome.js";
import { drillLookup } from "../practise/drill_lookup.js";
import { fill, html, say, show } from "../ui/html.js";
import { themeButton } from "../ui/theme.js";
import { NOT_YET } from "../ui/words.js";
import { Replayer } from "../wall/replayer.js";
import { afterView } from "./after.js";
import { callForm, numberFrom, wholeDrill } from "./call.js";
import { listen } from "./keys.js";
import { seatsView } from "./seats.js";
import { called, nothing, reduce, rows, withClass } from "./state.js";
import { ALL_AGAIN, CANCEL, EVERYBODY, GO_ON, HOLD, LOST, MEASURE, NO_DRILL, badNumber, measureWords, places, playingWords } from "./words.js";

const METRES = { picture: [0.3, 20], "last-row": [0.5, 50], seat: [0, 50] };

const find = (selector) => document.querySelector(selector);
const desk = { state: nothing(), settings: loadSettings(), checks: null, due: false, when: changes(), left: 0 };
const { attempt, load } = attempts({ refuse, draw });
const drillOf = drillLookup({ load, draw });

function change(next) {
  desk.state = next;
  draw();
}

function refuse(refused) {
  change({ ...desk.state, refused });
}

function draw() {
  if (!desk.due) requestAnimationFrame(paint);
  desk.due = true;
}

const playing = () => desk.state.klass?.state === "playing";
const wish = (what) => change({ ...desk.state, wanted: { ...desk.state.wanted, ...what } });
const act = {
  start: () =>
    attempt(async () => {
      if (desk.state.klass === null) throw new api.Refused(NOT_YET);
      if (desk.state.wanted.drill === "") throw new api.Refused(NO_DRILL);
      await sound();
      await api.startClass(called(desk.state.wanted));
    }),
  stop: () => attempt(() => api.stopClass()),
  toggle: () => (playing() ? act.stop() : act.start()),
  freeze: ({ frozen }) => attempt(() => api.freezeWall(frozen)),
  light: ({ seat }) => attempt(() => api.spotlight(desk.state.klass?.spotlight === seat ? null : seat)),
  replay: ({ seat }) => attempt(() => api.replayRep(seat)),
  alone: ({ seat }) => attempt(() => api.playAlone(seat)),
  remove: ({ seat }) => attempt(() => api.removeSeat(seat)),
  everybody: () =>
    attempt(async () => {
      const { klass } = desk.state;
      await api.replayRep(null);
      if (klass?.spotlight !== null) await api.spotlight(null);
      if (klass?.alone !== null && playing()) await api.playAlone(null);
    }),
};

async function sound() {
  if (desk.state.klass?.sound !== "desk") return;
  await metronome.allow();
  draw();
}

function metres(typed, limits, use) {
  const number = numberFrom(typed, limits);
  if (number === null) refuse(badNumber(typed, ...limits));
  else attempt(() => use(number));
}

const form = callForm(find, { now: () => desk.state, wish, refuse, toggle: () => act.toggle() });
const seats = seatsView(find, {
  act: (name, seat) => act[name]({ seat: name === "alone" && desk.state.klass?.alone === seat ? null : seat }),
  place: (seat, typed) => metres(typed, METRES.seat, (distance) => api.placeSeat(seat, distance)),
  keep: (seat, keep) => attempt(() => api.keepSeat(seat, keep)),
  add: (input) => attempt(() => api.addSeat(input)),
});
const after = afterView(find("#after"), { attempt, load });
const clicking = () => (desk.state.link.state === "open" && desk.state.klass?.sound === "desk" ? desk.state.klass.click : null);
const metronome = new Metronome(
  () => {
    const click = clicking();
    return click && { grid: click.grid, clock: live.clock, last: click.last ?? undefined };
  },
  () => desk.settings,
);
const replayer = new Replayer(() => desk.settings);
const address = new URL("../live?desk", document.baseURI);
address.protocol = address.protocol.replace("http", "ws");
const live = new Live(address.href, {
  hear: take,
  garbled: refuse,
  link: (link) => change({ ...desk.state, link }),
  ready: async () => {
    desk.checks ??= frameChecks(await api.frameSchema());
  },
});

/** What the class does, put into the state as it is by then: the teacher may have typed meanwhile. */
async function readClass() {
  const klass = await api.klass();
  change(withClass(desk.state, klass));
}

function take(frame, now_ms) {
  try {
    change(reduce(desk.state, desk.checks.frame(frame)));
  } catch (error) {
    console.error("A frame was not understood:", frame, error);
    refuse(error.message);
    return;
  }
  if (frame.kind === "clock") live.clock.hear(frame, now_ms);
  if (frame.kind === "hello" || frame.kind === "resync") load(readClass);
  if (frame.kind === "wall" && desk.state.klass?.sound === "desk" && !playing()) replayer.take(frame.replay, live.clock);
}

function paint() {
  desk.due = false;
  const { state } = desk;
  const { daemon, klass, wall, wanted, link } = state;
  const when = desk.when.at(0);
  when("link", [link], () => {
    show(find("#away"), link.state === "away");
    say(find("#away span"), LOST);
  });
  show(find("#silent"), clicking() !== null && metronome.permission !== "running");
  when("refused", [state.refused], () => {
    show(find("#refused"), state.refused !== null);
    say(find("#refused span"), state.refused ?? "");
  });
  // What is typed before it is known what the class plays would be taken back by that.
  find("main").inert = !daemon || !klass;
  if (!daemon) return;
  const listed = drillOf(wholeDrill(wanted.drill));
  when("form", [daemon, klass, wanted, listed, desk.left], () => form(state, listed));
  when("seats", [daemon, klass, wall], () => seats(rows(state), klass, daemon.offers));
  when("wall", [daemon, klass, wall, desk.left], () => wallPart(state));
  when("after", [klass?.state], () => after(klass));
}

function wallPart({ daemon, klass, wall }) {
  const names = Object.fromEntries(daemon.seats.map(({ seat, name }) => [seat, name]));
  const measuring = klass?.measuring ?? [];
  say(find("#playing"), playingWords(klass, names));
  say(find("#together"), wall?.band?.said ?? "");
  const freeze = find("#freeze");
  freeze.disabled = !playing();
  freeze.setAttribute("aria-pressed", String(Boolean(klass?.frozen)));
  say(freeze, klass?.frozen ? GO_ON : HOLD);
  show(find("#everybody"), Boolean(klass?.alone ?? klass?.spotlight ?? wall?.replay));
  say(find("#everybody"), klass?.alone ? ALL_AGAIN : EVERYBODY);
  for (const button of find("#names").children) button.setAttribute("aria-pressed", String(button.dataset.names === wall?.names));
  for (const [id, value] of [["picture", wall?.picture_m], ["last-row", wall?.distance_m]])
    if (document.activeElement !== find(`#${id}`)) find(`#${id}`).value = value ?? "";
  fill(find("#sound"), html`${places(daemon.seats).map(([place, words]) => html`<option value="${place}">${words}</option>`)}`);
  find("#sound").value = klass?.sound ?? "desk";
  say(find("#measure"), measuring.length > 0 ? CANCEL : MEASURE);
  find("#measure").disabled = playing();
  say(find("#measure-said"), measureWords(daemon.seats, measuring));
}

find("#freeze").addEventListener("click", () => act.freeze({ frozen: !desk.state.klass.frozen }));
find("#everybody").addEventListener("click", () => act.everybody());
find("#names").addEventListener("click", ({ target }) => target.dataset.names && attempt(() => api.arrangeWall({ names: target.dataset.names })));
find("#picture").addEventListener("change", ({ target }) => metres(target.value, METRES.picture, (picture_m) => api.arrangeWall({ picture_m })));
find("#last-row").addEventListener("change", ({ target }) => metres(target.value, METRES["last-row"], (distance_m) => api.arrangeWall({ distance_m })));
find("#sound").addEventListener("change", ({ target }) =>
  attempt(async () => {
    await api.soundAt(target.value);
    await sound();
  }),
);
find("#measure").addEventListener("click", () =>
  attempt(async () => {
    await sound();
    await ((desk.state.klass?.measuring ?? []).length > 0 ? api.stopClass() : api.measureSeats(null));
  }),
);
find("#away button").addEventListener("click", () => live.open());
find("#silent button").addEventListener("click", () => metronome.allow().then(draw));
find("#refused button").addEventListener("click", () => refuse(null));
themeButton(find("#theme"), desk.settings.theme, (theme) => {
  desk.settings = { ...desk.settings, theme };
  saveSettings(desk.settings);
});
// A field that is typed in is not drawn; once it is left it shows what counts, also where what was typed is refused.
document.addEventListener("focusout", () => {
  desk.left += 1;
  draw();
});
listen(() => ({ klass: desk.state.klass, seats: (desk.state.daemon?.seats ?? []).map(({ seat }) => seat) }), act);
metronome.start();
live.open();
draw();
