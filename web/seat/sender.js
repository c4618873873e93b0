/** Sends what Web MIDI hears to the seat, with its own time stamps, over a link that comes back by itself. */

import { Outbox } from "./outbox.js";

const NS_PER_MS = 1e6;
const QUICK = 100;
const QUICK_MS = 50;
const STEADY_MS = 100;
const AGAIN_MS = 1000;
/** WebSocket close code "policy violation" (RFC 6455). */
const NOT_ALLOWED = 1008;

const ns = (ms) => Math.round(ms * NS_PER_MS);
const made = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");

export class Sender {
  #outbox = new Outbox();
  #who = made();
  #socket = null;
  #compared = false;
  #timer = null;
  #port = null;

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
    this.#open();
  }

  /** Send no more. */
  stop() {
    if (this.#port) this.#port.onmidimessage = null;
    this.#port = null;
    clearTimeout(this.#timer);
    this.#socket?.close();
    this.#socket = null;
  }

  #open() {
    const socket = new WebSocket(this.url);
    this.#socket = socket;
    this.#compared = false;
    socket.onopen = () => socket.send(JSON.stringify({ kind: "join", who: this.#who, input: this.#port?.name ?? "" }));
    socket.onmessage = ({ data }) => socket === this.#socket && this.#take(JSON.parse(data), performance.now());
    socket.onclose = ({ code, reason }) => {
      if (socket !== this.#socket) return;
      clearTimeout(this.#timer);
      if (code === NOT_ALLOWED) this.changed("shut", reason);
      else {
        this.changed("down", "");
        this.#timer = setTimeout(() => this.#open(), AGAIN_MS);
      }
    };
  }

  #take(frame, now_ms) {
    if (frame.kind === "joined") {
      this.#outbox.from(frame.next);
      this.changed("open", "");
      this.#ask(this.#socket, 0);
    } else if (frame.kind === "clock") {
      this.#send({ kind: "stamps", stamps: [frame.sent, frame.received_ns, frame.replied_ns, ns(now_ms)] });
      this.#compared = true;
      this.#flush();
    } else this.#outbox.arrived(frame.next);
  }

  #ask(socket, asked) {
    if (socket !== this.#socket || socket.readyState !== WebSocket.OPEN) return;
    this.#send({ kind: "clock", sent: ns(performance.now()) });
    this.#timer = setTimeout(() => this.#ask(socket, asked + 1), asked < QUICK ? QUICK_MS : STEADY_MS);
  }

  /** Only after the clocks have been compared could the class say when it was played. */
  #flush() {
    if (this.#compared && this.#socket?.readyState === WebSocket.OPEN) this.#outbox.packets().forEach((one) => this.#send(one));
  }

  #send(frame) {
    this.#socket.send(JSON.stringify(frame));
  }
}
