/** A learner's own page: the strip and the verdicts of one seat, drawn once a frame, and a chanter plugged in here. */

import { clickSource } from "../audio/click_source.js";
import { Metronome } from "../audio/metronome.js";
import { visibleFilter } from "../core/feedback_filter.js";
import { FrameError, frameChecks } from "../core/frames.js";
import { Live } from "../core/live.js";
import { nothing, reduce, running } from "../core/state.js";
import { repToPlay, repToShow } from "../practise/reading.js";
import { beatNow, stripView } from "../practise/strip_view.js";
import { say, show } from "../ui/html.js";
import { capital, counting, misread } from "../ui/words.js";
import { keepingView } from "./keeping.js";
import { sendingView } from "./sending.js";
import { CONNECTING, LOST, NOTHING, OUT, rowWords, whoWords } from "./words.js";

const FORBIDDEN = 403;
/** How the click sounds here, where the teacher chose this seat for it. */
const CLICK = { volume: 0.4, accent: true };
const find = (selector) => document.querySelector(selector);
const number = location.pathname.split("/").pop();
const socketTo = (path) => `${location.origin.replace("http", "ws")}${path}`;
const strip = stripView(find("#strip"), find("#marks"));
const visible = visibleFilter();
let state = nothing();
let checks = null;
let trouble = CONNECTING;
let link = { state: "away" };
let due = false;

/** The schema of the frames, once; whoever may not have it has no good code any more. */
async function ready() {
  if (checks) return;
  const answer = await fetch("/frames.schema.json");
  if (answer.status === FORBIDDEN) trouble = OUT;
  checks = frameChecks(await answer.json());
}

function draw() {
  if (!due) requestAnimationFrame(paint);
  due = true;
}

/** The sentence below the strip: of the rep that the strip shows, so that both are of one rep. */
function verdict(run) {
  if (trouble) return trouble;
  if (!run) return NOTHING;
  return run.feedback.said ?? run.reps.find((one) => one.rep === repToShow(run))?.said ?? "";
}

function paint(page_ms) {
  due = false;
  const seat = visible(state.seats[number] ?? null);
  const run = seat?.run ?? null;
  const goes = seat !== null && running(seat);
  if (seat) {
    say(find("#who"), whoWords(seat.player.name, number));
    say(find("#chanter"), seat.chanter.said);
  }
  say(find("#drill"), run ? capital(run.drill) : "");
  const beat = goes ? beatNow(seat, live.clock, page_ms) : NaN;
  say(find("#where"), Number.isFinite(beat) ? counting(beat, run.grid, repToPlay(run, beat)) : "");
  if (run) strip({ run, calibration_ms: seat.chanter.calibration_ms }, live.clock, page_ms);
  show(find("#strip"), run !== null);
  show(find("#click"), toClick() !== null && metronome.permission !== "running");
  say(find("#verdict"), verdict(run));
  say(find("#row"), run ? rowWords(run) : "");
  if (goes) draw();
}

function hear(frame, now_ms) {
  try {
    state = reduce(state, checks.frame(frame));
    trouble = null;
  } catch (error) {
    if (!(error instanceof FrameError)) throw error;
    console.error("A frame was not understood:", frame, error);
    trouble = misread(error.message);
  }
  if (frame.kind === "clock") live.clock.hear(frame, now_ms);
  draw();
}

const live = new Live(socketTo(`/live?seat=${number}`), {
  hear,
  garbled: (sentence) => say(find("#verdict"), sentence),
  link(now) {
    link = now;
    if (now.state === "open") {
      trouble = null;
      lookAtKeeping();
    } else if (trouble !== OUT) trouble = LOST;
    draw();
  },
  ready,
});
const toClick = () => clickSource(link, state.seats[number] ?? null, live.clock);
const metronome = new Metronome(toClick, () => CLICK);
metronome.start();
find("#click button").addEventListener("click", async () => {
  await metronome.allow();
  draw();
});
find("#strip").addEventListener("resized", draw);
const lookAtKeeping = keepingView(find, number);
sendingView(find, socketTo("/join"));
live.open();
