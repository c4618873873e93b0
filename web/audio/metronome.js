/**
 * Keeps the click going: looks a little ahead, and gives each click to the audio clock once, in time or not at all.
 *
 * The page's time of a click comes from the daemon's grid by the clock filter; the audio clock's time of it from
 * getOutputTimestamp(), which pairs performance.now() with the frame that is leaving the loudspeaker just then. That
 * pair holds the output latency already; only where a browser gives no pair is outputLatency taken off by itself.
 */

import { renderClick } from "./click.js";
import { clicksBetween } from "../core/grid.js";

const AHEAD_MS = 200;
/** A hidden tab's timers are held to one a second, so it must look further. */
const AHEAD_HIDDEN_MS = 1500;
const EVERY_MS = 50;
/** A click this close to the present may still be given to the audio clock; later ones are skipped, never played late. */
const NEAREST_S = 0.003;

/** The audio context's time at which a sound must start to be heard at `page_ms` of performance.now(). */
export function audioTime_s(context, page_ms, now_ms) {
  const stamp = context.getOutputTimestamp?.();
  if (stamp?.contextTime > 0 && stamp.performanceTime > 0) {
    return stamp.contextTime + (page_ms - stamp.performanceTime) / 1000;
  }
  const latency_s = context.outputLatency ?? context.baseLatency ?? 0;
  return context.currentTime + (page_ms - now_ms) / 1000 - latency_s;
}

export class Metronome {
  #context = null;
  #gain = null;
  #timer = null;
  #until_ns = null;
  #grid = null;
  #given = [];

  /** `source` returns what to click to: {grid, clock, last?} or null; `options` returns {volume, accent}. */
  constructor(source, options) {
    this.source = source;
    this.options = options;
    this.skipped = 0;
  }

  /** "none" before the first permission, else as the browser says: "suspended" or "running". */
  get permission() {
    return this.#context?.state ?? "none";
  }

  /** Ask the browser for sound. Must be called from a key press or a click of the mouse. */
  async allow() {
    this.#context ??= this.#open();
    await this.#context.resume();
  }

  /** Begin to look ahead, again and again. */
  start() {
    this.#timer ??= setInterval(() => this.look(performance.now()), EVERY_MS);
  }

  /** Take back what has been given to the audio clock and has not sounded yet. */
  hush() {
    for (const { node, at_s } of this.#given) if (at_s > this.#context.currentTime) node.stop();
    this.#given = [];
    this.#until_ns = null;
    this.#grid = null;
  }

  /** Take the volume as it is now set. */
  turn() {
    if (this.#gain) this.#gain.gain.value = this.options().volume;
  }

  /** Schedule what is due; called by the timer. */
  look(now_ms) {
    const asked = this.source();
    if (asked?.grid !== this.#grid && this.#grid) this.hush();
    if (!asked || this.permission !== "running" || !asked.clock.known) return;
    this.#grid = asked.grid;
    const now_ns = asked.clock.toDaemon_ns(now_ms);
    const to_ns = now_ns + (document.hidden ? AHEAD_HIDDEN_MS : AHEAD_MS) * 1e6;
    const from_ns = this.#until_ns ?? now_ns;
    if (to_ns <= from_ns) return;
    for (const click of clicksBetween(asked.grid, from_ns, to_ns, asked.last)) this.#give(click, asked.clock, now_ms);
    this.#until_ns = to_ns;
  }

  #give(click, clock, now_ms) {
    const at_s = audioTime_s(this.#context, clock.toPage_ms(click.at_ns), now_ms);
    if (at_s < this.#context.currentTime + NEAREST_S) {
      this.skipped += 1;
      return;
    }
    const node = renderClick(this.#context, this.#gain, at_s, click.accent && this.options().accent);
    this.#given = [...this.#given.filter((one) => one.at_s > this.#context.currentTime), { node, at_s }];
  }

  #open() {
    const context = new AudioContext({ latencyHint: "interactive" });
    this.#gain = context.createGain();
    this.#gain.connect(context.destination);
    this.#gain.gain.value = this.options().volume;
    return context;
  }
}
