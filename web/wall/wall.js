/** The class wall: listens to the wall's own frames, and draws when one came or the window changed. */

import { Live } from "../core/live.js";
import { say } from "../ui/html.js";
import { patch } from "../ui/svg.js";
import { wallMarks } from "./picture.js";
import { wallPlan } from "./plan.js";
import { letterSize } from "./sight.js";
import { LOST } from "./words.js";

const picture = document.querySelector("#wall");
const said = document.querySelector("#said");
let frame = null;
let away = false;
let asked = false;

function draw() {
  asked = false;
  if (!frame) return;
  const { innerWidth: width, innerHeight: height } = window;
  picture.setAttribute("viewBox", `0 0 ${width} ${height}`);
  const plan = wallPlan(frame.seats.length, width, height, letterSize(frame, width));
  patch(picture, wallMarks(frame, plan));
  say(said, away ? LOST : (frame.band?.said ?? ""));
}

function redraw() {
  if (!asked) requestAnimationFrame(draw);
  asked = true;
}

const address = new URL("../live?wall", document.baseURI);
address.protocol = address.protocol.replace("http", "ws");
const live = new Live(address.href, {
  hear(one) {
    if (one.kind !== "wall") return; // the clock's answers, and the first frame
    frame = one;
    redraw();
  },
  garbled: (sentence) => say(said, sentence),
  link({ state }) {
    away = state !== "open";
    redraw();
  },
});
addEventListener("resize", redraw);
live.open();
