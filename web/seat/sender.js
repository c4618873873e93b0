/** Sends what Web MIDI hears to the seat, with its own time stamps, over a link that comes back by itself. */

import { Outbox } from "./outbox.js";

const NS_PER_MS = 1e6;
const QUICK = 100;
const QUICK_MS = 50;
const STEADY_MS = 100;
const AGAIN_MS = 1000;
/** A link on which nothing has come for so long is down: the class answers every question about its clock. */
const SILENT_MS = 4000;
/** Links that only compare clocks at first, beside the one of the notes, and for how long; see the daemon's joiner. */
const SIDE_LINKS = 3;
const SIDE_MS = 5000;
/** So many answers, or so long a time, and the clocks are known well enough for the first note. */
const SETTLED = 250;
const SETTLING_MS = 2000;
/** WebSocket close code "policy violation" (RFC 6455). */
const NOT_ALLOWED = 1008;

const ns = (ms) => Math.round(ms * NS_PER_MS);
const made = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
const question = () => JSON.stringify({ kind: "clock", sent: ns(performance.now()) });

export class Sender {
  #outbox = new Outbox();
  #who = made();
  #socket = null;
  #compared = false;
  #answers = 0;
  #asked = 0;
  #asked_ms = 0;
  #heard_ms = 0;
  #joined_ms = null;
  #again = null;
  #port = null;
  #aside = [];
  #ticker = null;

  /** `changed(state, reason)` hears of the link: "open", "down", or "shut" for good, with the reason. */
  constructor(url, changed) {
    this.url = url;
    this.changed = changed;
  }

  /** Send what this Web MIDI input hears, from now on. */
  listen(port) {
    this.stop();
    this.#port = port;
    port.onmidimessage = ({ timeStamp, data }) => {
      this.#outbox.add(timeStamp, data);
      this.#flush();
    };
    this.#ticker ??= new Worker(new URL("ticker.js", import.meta.url)); // only where something is sent
    this.#ticker.onmessage = () => this.#tick(performance.now());
    this.#ticker.postMessage({ every_ms: QUICK_MS });
    this.#open();
  }

  /** Send no more. */
  stop() {
    if (this.#port) this.#port.onmidimessage = null;
    this.#port = null;
    this.#again = null;
    this.#ticker?.postMessage({ every_ms: null });
    this.#hangUp();
  }

  #hangUp() {
    for (const one of this.#aside) one.close();
    this.#aside = [];
    this.#socket?.close();
    this.#socket = null;
  }

  #open() {
    const socket = new WebSocket(this.url);
    this.#socket = socket;
    this.#compared = false;
    this.#asked = 0;
    this.#asked_ms = 0;
    this.#again = null;
    this.#heard_ms = performance.now();
    socket.onopen = () => socket.send(JSON.stringify({ kind: "join", who: this.#who, input: this.#port?.name ?? "" }));
    socket.onmessage = ({ data }) => socket === this.#socket && this.#take(JSON.parse(data), performance.now());
    socket.onclose = ({ code, reason }) => {
      if (socket !== this.#socket) return;
      if (code === NOT_ALLOWED) this.changed("shut", reason);
      else this.#down();
    };
  }

  /** The link is gone, whether the browser has noticed or not. */
  #down() {
    this.#hangUp();
    this.#again = performance.now() + AGAIN_MS;
    this.changed("down", "");
  }

  #tick(now_ms) {
    if (this.#again !== null && now_ms >= this.#again) this.#open();
    if (!this.#socket) return;
    if (now_ms - this.#heard_ms > SILENT_MS) this.#down();
    else if (this.#joined_ms !== null && this.#socket.readyState === WebSocket.OPEN) {
      if (now_ms - this.#asked_ms >= (this.#asked < QUICK ? 0 : STEADY_MS - QUICK_MS / 2)) {
        this.#asked += 1;
        this.#asked_ms = now_ms;
        this.#socket.send(question());
      }
      for (const one of this.#aside) if (one.readyState === WebSocket.OPEN) one.send(question());
      if (now_ms - this.#joined_ms > SIDE_MS) this.#aside.splice(0).forEach((one) => one.close());
      this.#flush();
    }
  }

  #take(frame, now_ms) {
    this.#heard_ms = now_ms;
    if (frame.kind === "joined") {
      this.#outbox.from(frame.next);
      this.changed("open", "");
      if (this.#joined_ms === null) this.#compareAside();
      this.#joined_ms ??= now_ms;
    } else if (frame.kind === "clock") {
      this.#answered(frame, now_ms);
      this.#compared = true;
      this.#flush();
    } else if (frame.kind === "arrived") this.#outbox.arrived(frame.next);
  }

  #answered(frame, now_ms) {
    this.#answers += 1;
    const stamps = [frame.sent, frame.received_ns, frame.replied_ns, ns(now_ms)];
    if (this.#socket?.readyState === WebSocket.OPEN) this.#send({ kind: "stamps", stamps });
  }

  /** On one link a stamp waits for what was delayed before it, on another it may overtake. */
  #compareAside() {
    this.#aside = Array.from({ length: SIDE_LINKS }, () => {
      const link = new WebSocket(this.url);
      link.onmessage = ({ data }) => this.#answered(JSON.parse(data), performance.now());
      return link;
    });
  }

  /** Only after the clocks have been compared could the class say when it was played. */
  #flush() {
    const settled = this.#answers >= SETTLED || performance.now() - (this.#joined_ms ?? Infinity) >= SETTLING_MS;
    if (this.#compared && settled && this.#socket?.readyState === WebSocket.OPEN)
      this.#outbox.packets().forEach((one) => this.#send(one));
  }

  #send(frame) {
    this.#socket.send(JSON.stringify(frame));
  }
}
