/** Playback a drill or a rep: sounded by tone.js, with the click; one at a time, and stopped softly. */

import * as api from "../core/api.js";
import { renderClick } from "./click.js";
import { renderTone, score, slowed } from "./tone.js";

const AHEAD_S = 0.15;
const HUSH_S = 0.06;

/** What sounds when, of `score` or `played`, into `output` from `at_s` on; returns what can be stopped. */
export function renderScore(context, output, { score, tuning, click }, at_s) {
  const tone = renderTone(context, output, score, tuning, at_s);
  const clicks = click ? score.clicks.map((one) => renderClick(context, output, at_s + one.at_s, one.accent)) : [];
  return { ...tone, clicks };
}

/** A drill as often as the daemon has placed it, and where reps differ all of them once: else the way would be unfinished. */
export const drillScore = ({ sequence, segments }, half) =>
  slowed(score(segments.map(({ rep, beat_ms }) => ({ asked: sequence[rep % sequence.length], beat_ms }))), half ? 2 : 1);

export class Playback {
  #context = null;
  #output = null;
  #playing = null;
  #asked = 0;

  /** `changed(what or null)` is called when a playback begins and when it ends; `what.kind` says of what kind it is. */
  constructor(changed) {
    this.changed = changed;
  }

  /** How loud it is, 0 to 1. */
  set volume(volume) {
    this.level = volume;
    this.#output?.gain.setTargetAtTime(volume, this.#context.currentTime, 0.02);
  }

  /** The kind of what is heard now, or null. */
  get playing() {
    return this.#playing?.what.kind ?? null;
  }

  /** Where a rep or its model has come to as it is heard, in its own ms from the ornament's beat; null: none is heard. */
  get head_ms() {
    const { at_s, what } = this.#playing ?? {};
    if (what?.factor === undefined) return null;
    const heard_s = this.#context.currentTime - at_s - (this.#context.outputLatency || 0);
    return ((heard_s - what.beat_s) / what.factor) * 1000;
  }

  /**
   * Play a drill: {drill, click_bpm, spread, layout, tuning, reps, half, click}; `stopped`: a run was stopped for it.
   *
   * Must be called from a key or a click. Throws Refused if the daemon will not tell its times; a later call, or stop(),
   * takes the place of an earlier one.
   */
  play({ drill, click_bpm, spread, layout, tuning, reps, half, click, stopped }) {
    return this.sound({ kind: "drill", drill, stopped }, async () => {
      const timetable = await api.timetable({ drill, click_bpm, spread, layout, reps });
      return { score: drillScore(timetable, half), tuning, click };
    });
  }

  /** Play what `made()` promises, {score, tuning, click}, in the same way; `what` is {kind, words} and whatever else is to be shown. */
  async sound(what, made) {
    this.stop();
    const asked = this.#asked;
    this.#context ??= this.#open();
    const [how] = await Promise.all([made(), this.#context.resume()]);
    if (asked !== this.#asked) return;
    const at_s = this.#context.currentTime + AHEAD_S;
    const playing = { ...renderScore(this.#context, this.#output, how, at_s), at_s, what };
    this.#playing = playing;
    playing.oscillator.onended = () => {
      if (this.#playing === playing) this.stop();
    };
    this.changed(what);
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
    this.changed(null);
  }

  #open() {
    const context = new AudioContext({ latencyHint: "interactive" });
    this.#output = context.createGain();
    this.#output.gain.value = this.level;
    this.#output.connect(context.destination);
    return context;
  }
}
