/**
 * What a browser sends to its seat: MIDI messages, numbered, with the time they were heard, until they have arrived.
 *
 * Times are whole ns of performance.now(). Pure: no clock is read here.
 */

const NS_PER_MS = 1e6;
const KEPT_MS = 10_000;
const MOST_MESSAGES = 100;

export class Outbox {
  #waiting = [];
  #next = 0;
  #sent = 0;

  /** Keep a message; what is older than ten seconds and has not arrived is given up. */
  add(at_ms, bytes) {
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    this.#waiting.push({ number: this.#next, at_ms, hex });
    this.#next += 1;
    while (at_ms - this.#waiting[0].at_ms > KEPT_MS) this.#waiting.shift();
  }

  /** Everything before that number has arrived. */
  arrived(next) {
    while (this.#waiting.length > 0 && this.#waiting[0].number < next) this.#waiting.shift();
  }

  /** A link begins: that message is wanted next. */
  from(next) {
    this.arrived(next);
    this.#sent = next;
  }

  /** The packets to send now, as frames. */
  packets() {
    const fresh = this.#waiting.filter((one) => one.number >= this.#sent);
    const packets = [];
    for (let at = 0; at < fresh.length; at += MOST_MESSAGES) {
      const part = fresh.slice(at, at + MOST_MESSAGES);
      const messages = part.map((one) => [Math.round(one.at_ms * NS_PER_MS), one.hex]);
      packets.push({ kind: "midi", first: part[0].number, messages });
      this.#sent = part.at(-1).number + 1;
    }
    return packets;
  }
}
