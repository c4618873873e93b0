/** Hear a drill: fetched in time from the daemon, sounded by tone.js, with the click; one at a time, and stopped softly. */

import * as api from "./api.js";
import { renderClick } from "./click.js";
import { renderTone, score, stretched } from "./tone.js";

const AHEAD_S = 0.15;
const HUSH_S = 0.06;

/** All of one hearing into `output` from `at_s` on; returns what can be stopped, and when it ends. */
export function renderHearing(context, output, { timetable, tuning, reps, half, click }, at_s) {
  // Where reps differ, less than all of them once would leave the way unfinished.
  const count = Math.max(reps, timetable.turns.length);
  const told = score(half ? stretched(timetable, 2) : timetable, count);
  const tone = renderTone(context, output, told, tuning, at_s);
  const clicks = click ? told.clicks.map((one) => renderClick(context, output, at_s + one.at_s, one.accent)) : [];
  return { ...tone, clicks, end_s: at_s + told.end_s };
}

export class Hear {
  #context = null;
  #output = null;
  #playing = null;
  #asked = 0;

  /** `told(drill or null)` is called when a hearing begins and when it ends. */
  constructor(told) {
    this.told = told;
  }

  /** How loud it is, 0 to 1. */
  set volume(volume) {
    this.level = volume;
    this.#output?.gain.setTargetAtTime(volume, this.#context.currentTime, 0.02);
  }

  /**
   * Play a drill: {drill, click_bpm, spread, layout, tuning, reps, half, click}. Must be called from a key or a click.
   *
   * Throws Refused if the daemon will not tell its times; a later call, or stop(), takes the place of an earlier one.
   */
  async play({ drill, click_bpm, spread, layout, ...how }) {
    this.stop();
    const asked = this.#asked;
    this.#context ??= this.#open();
    const [timetable] = await Promise.all([
      api.timetable({ drill, click_bpm, spread, layout }),
      this.#context.resume(),
    ]);
    if (asked !== this.#asked) return;
    const context = this.#context;
    const playing = renderHearing(context, this.#output, { timetable, ...how }, context.currentTime + AHEAD_S);
    this.#playing = playing;
    playing.oscillator.onended = () => {
      if (this.#playing === playing) this.stop();
    };
    this.told(drill);
  }

  /** Fade out, now. */
  stop() {
    this.#asked += 1;
    if (!this.#playing) return;
    const { oscillator, gain, clicks } = this.#playing;
    this.#playing = null;
    const now_s = this.#context.currentTime;
    gain.gain.cancelScheduledValues(now_s);
    gain.gain.setTargetAtTime(0, now_s, HUSH_S / 4);
    oscillator.onended = null;
    oscillator.stop(now_s + HUSH_S);
    for (const click of clicks) click.stop();
    this.told(null);
  }

  #open() {
    const context = new AudioContext({ latencyHint: "interactive" });
    this.#output = context.createGain();
    this.#output.gain.value = this.level;
    this.#output.connect(context.destination);
    return context;
  }
}
