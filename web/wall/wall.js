/** The class wall: listens to the wall's own frames, draws when one came or the window changed, and clicks if it sounds here. */

import * as api from "../core/api.js";
import { again, onward, sameClick } from "../core/klass.js";
import { Live } from "../core/live.js";
import { loadSettings } from "../core/settings.js";
import { Metronome } from "../audio/metronome.js";
import { say, show } from "../ui/html.js";
import { patch } from "../ui/svg.js";
import { isAlone, wallMarks } from "./picture.js";
import { PAGE_MS, wallPlan } from "./plan.js";
import { Replayer, head_ms, isOver } from "./replayer.js";
import { letterSize } from "./sight.js";
import { LOST } from "./words.js";

const STILL = matchMedia("(prefers-reduced-motion: reduce)");

const picture = document.querySelector("#wall");
const said = document.querySelector("#said");
const trouble = document.querySelector("#trouble");
const silent = document.querySelector("#silent");
const settings = loadSettings();
if (settings.theme) document.documentElement.dataset.theme = settings.theme;
let frame = null;
let away = false;
let refused = null;
let asked = false;
let turns = 0;

/** The daemon's clock while a rep is played again or about to be; null: none is, or nothing is to move. */
function replaying_ns() {
  if (!frame?.replay || STILL.matches || !live.clock.known) return null;
  const now_ns = live.clock.toDaemon_ns(performance.now());
  return isOver(frame.replay, now_ns) ? null : now_ns;
}

function draw() {
  asked = false;
  if (!frame) return;
  const { innerWidth: width, innerHeight: height } = window;
  picture.setAttribute("viewBox", `0 0 ${width} ${height}`);
  const rows = frame.replay ? 1 : (frame.spotlight?.reps.length ?? frame.seats.length);
  const plan = wallPlan(rows, width, height, letterSize(frame, width), isAlone(frame));
  const now_ns = replaying_ns();
  patch(picture, wallMarks(frame, plan, now_ns === null ? null : head_ms(frame.replay, now_ns), turns));
  say(said, frame.band?.said ?? "");
  trouble.style.fontSize = `${plan.letter}px`; // as large as all other words
  show(trouble, away || refused !== null);
  say(trouble, away ? LOST : (refused ?? ""));
  show(silent, frame.sounds && frame.click !== null && metronome.permission !== "running");
  if (now_ns !== null) redraw();
}

function redraw() {
  if (!asked) requestAnimationFrame(draw);
  asked = true;
}

const metronome = new Metronome(
  () => (frame?.click && !away ? { grid: frame.click.grid, clock: live.clock, last: frame.click.last ?? undefined } : null),
  () => settings,
);
const replayer = new Replayer(() => settings);
const address = new URL("../live?wall", document.baseURI);
address.protocol = address.protocol.replace("http", "ws");
const live = new Live(address.href, {
  hear(one, now_ms) {
    if (one.kind === "clock") {
      live.clock.hear(one, now_ms);
      if (frame?.replay) redraw(); // where it has come to can be known only now
    }
    if (one.kind !== "wall") return;
    if (one.state === "playing") turns = 0;
    frame = { ...one, click: sameClick(frame?.click ?? null, one.click) };
    if (frame.sounds && frame.state !== "playing" && frame.state !== "frozen") replayer.take(frame.replay, live.clock);
    redraw();
  },
  garbled: refuse,
  link({ state }) {
    away = state !== "open";
    redraw();
  },
});

/** A presenter's clicker, whose keys go to the window that is in front; a wall over the network may only look. */
async function clicker({ key, repeat }) {
  if (repeat) return;
  if (frame?.sounds) metronome.allow().then(redraw);
  if (key !== "PageDown" && key !== "PageUp") return;
  try {
    const klass = await api.klass();
    const next = onward(klass);
    if (key === "PageUp") await api.stopClass();
    else if (next.act === "freeze") await api.freezeWall(next.frozen);
    else if (klass.drill !== null) await api.startClass(again(klass));
  } catch (error) {
    if (!(error instanceof api.Refused)) throw error;
    refuse(error.message);
  }
}

/** Say why a key did nothing, where all can read it, for as long as a page stays. */
function refuse(said) {
  refused = said;
  redraw();
  setTimeout(() => {
    if (refused === said) refused = null;
    redraw();
  }, PAGE_MS);
}

setInterval(() => {
  if (!frame || frame.state === "playing") return;
  turns += 1;
  redraw();
}, PAGE_MS);
addEventListener("resize", redraw);
addEventListener("keydown", clicker);
silent.querySelector("button").addEventListener("click", () => metronome.allow().then(redraw));
metronome.start();
live.open();
