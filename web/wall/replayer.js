/** A rep that is played again slowly: where it is by the daemon's clock, and its sound. */

import * as api from "../core/api.js";
import { audioTime_s } from "../audio/metronome.js";
import { renderTone, slowed } from "../audio/tone.js";

/** A silence shorter than this is only the way from one note to the next. */
const BREATH_MS = 5;
/** How long the last note sounds, at full speed. */
const LAST_MS = 500;

/** How long it takes from its first note, in ms of the rep itself. */
export const span_ms = ({ notes }) => notes.at(-1).at_ms + LAST_MS - notes[0].at_ms;

/** Whether it has come to its end; before its begin it has not. */
export const isOver = (replay, now_ns) => (now_ns - replay.began_ns) / 1e6 / replay.factor > span_ms(replay);

/** Where the rep has come to at an instant of the daemon's clock, in ms from its beat; null before it and after it. */
export function head_ms(replay, now_ns) {
  const gone_ms = (now_ns - replay.began_ns) / 1e6 / replay.factor;
  return gone_ms < 0 || gone_ms > span_ms(replay) ? null : replay.notes[0].at_ms + gone_ms;
}

/** What sounds when, at full speed, in seconds from the first note. Pure. */
export function replayScore(replay) {
  const { notes } = replay;
  const from_ms = notes[0].at_ms;
  const seconds = (ms) => (ms - from_ms) / 1000;
  const sounding = notes.flatMap(({ note, at_ms, length_ms }, index) => {
    const next_ms = notes[index + 1]?.at_ms ?? at_ms + LAST_MS;
    const ends_ms = length_ms === null ? next_ms : at_ms + length_ms;
    const breath = index < notes.length - 1 && ends_ms < next_ms - BREATH_MS ? [{ note: null, at_s: seconds(ends_ms) }] : [];
    return [{ note, at_s: seconds(at_ms) }, ...breath];
  });
  return { notes: sounding, clicks: [], end_s: span_ms(replay) / 1000, beat_s: seconds(0) };
}

export class Replayer {
  #context = null;
  #output = null;
  #tuning = null;
  #began_ns = null;
  #playing = null;

  /** `options` returns {tone}, how loud it is from 0 to 1. */
  constructor(options) {
    this.options = options;
  }

  /** Sound this replay, unless it sounds already; null: hush. */
  async take(replay, clock) {
    if ((replay?.began_ns ?? null) === this.#began_ns) return;
    this.#began_ns = replay?.began_ns ?? null;
    this.#playing?.oscillator.stop();
    this.#playing = null;
    if (replay === null) return;
    this.#open();
    try {
      this.#tuning ??= (await api.tunings())[0];
    } catch (error) {
      if (!(error instanceof api.Refused)) throw error;
      console.warn("The rep is shown without its sound, since the tunings cannot be had.", error);
      return;
    }
    if (replay.began_ns !== this.#began_ns || this.#context.state !== "running") return;
    const now_ms = performance.now();
    const at_s = Math.max(audioTime_s(this.#context, clock.toPage_ms(replay.began_ns), now_ms), this.#context.currentTime + 0.02);
    this.#playing = renderTone(this.#context, this.#output, slowed(replayScore(replay), replay.factor), this.#tuning, at_s);
  }

  #open() {
    this.#context ??= new AudioContext({ latencyHint: "interactive" });
    this.#output ??= this.#context.createGain();
    this.#output.gain.value = this.options().tone;
    this.#output.connect(this.#context.destination);
    this.#context.resume();
  }
}
