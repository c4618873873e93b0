/**
 * The live connection: text frames in, clock questions out. It comes back by itself, waiting longer each time.
 *
 * Each connection has a clock of its own: the daemon may have been restarted, and its clock with it.
 */

import { Clock } from "./clock.js";

const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 8000;
const QUICK_QUESTIONS = 8;
const QUICK_MS = 60;
const STEADY_MS = 1000;

/** How long to wait before try number `tries` (from 0). */
export const wait_ms = (tries) => Math.min(FIRST_WAIT_MS * 2 ** tries, LONGEST_WAIT_MS);

export class Live {
  #socket = null;
  #tries = 0;
  #again = null;
  #question = null;

  /**
   * `hear(frame)`, `garbled(sentence)` and `link({state, again_at_ms})` are called as things happen; `ready()` is waited
   * for before the first connection, and tried again when it fails.
   */
  constructor(url, { hear, garbled, link, ready = async () => {} }) {
    this.url = url;
    this.on = { hear, garbled, link, ready };
    this.clock = new Clock();
  }

  /** Connect, now. */
  async open() {
    clearTimeout(this.#again);
    this.#socket?.close();
    try {
      await this.on.ready();
    } catch (error) {
      console.warn("The description of the frames cannot be had yet.", error);
      this.#closed(this.#socket);
      return;
    }
    const socket = new WebSocket(this.url);
    this.#socket = socket;
    socket.onopen = () => this.#opened(socket);
    socket.onmessage = (message) => this.#heard(socket, message.data);
    socket.onclose = () => this.#closed(socket);
  }

  #opened(socket) {
    this.#tries = 0;
    this.clock = new Clock();
    this.on.link({ state: "open", again_at_ms: null });
    this.#ask(socket, 0);
  }

  #ask(socket, asked) {
    if (socket !== this.#socket || socket.readyState !== WebSocket.OPEN) return;
    socket.send(JSON.stringify({ kind: "clock", sent: performance.now() }));
    this.#question = setTimeout(() => this.#ask(socket, asked + 1), asked < QUICK_QUESTIONS ? QUICK_MS : STEADY_MS);
  }

  #heard(socket, data) {
    const now_ms = performance.now();
    if (socket !== this.#socket) return;
    let frame;
    try {
      frame = JSON.parse(data);
    } catch (error) {
      console.error("A frame is not JSON:", data, error);
      this.on.garbled("Something came from the daemon that is not JSON.");
      return;
    }
    this.on.hear(frame, now_ms);
  }

  #closed(socket) {
    if (socket !== this.#socket) return;
    clearTimeout(this.#question);
    const wait = wait_ms(this.#tries);
    this.#tries += 1;
    this.#again = setTimeout(() => this.open(), wait);
    this.on.link({ state: "away", again_at_ms: performance.now() + wait });
  }
}
