/**
 * The daemon's clock, from this page's: four stamps an exchange, the least delayed of the last eight counts.
 *
 * Offset and delay of one exchange: RFC 5905 section 8; the choice among eight: its section 10.
 * Conventions: `_ns` is the daemon's clock, `_ms` is performance.now() of this page. Pure: no clock is read here.
 */

const KEPT = 8;
const NS_PER_MS = 1e6;

/**
 * One exchange: the page sent at t1 (ms), the daemon received at t2 and replied at t3 (ns), the page heard at t4 (ms).
 * The offset is what to add to the page's time to get the daemon's, the delay is the time spent on the way; both ms.
 */
export function exchange(t1_ms, t2_ns, t3_ns, t4_ms) {
  const t2_ms = t2_ns / NS_PER_MS;
  const t3_ms = t3_ns / NS_PER_MS;
  return { offset_ms: (t2_ms - t1_ms + (t3_ms - t4_ms)) / 2, delay_ms: t4_ms - t1_ms - (t3_ms - t2_ms) };
}

/** A new list of exchanges with this one added, the oldest of more than eight left out. */
export const keep = (exchanges, one) => [...exchanges, one].slice(-KEPT);

/** The least delayed exchange, the newest among equals; null when there is none yet. */
export const best = (exchanges) =>
  exchanges.reduce((least, one) => (least === null || one.delay_ms <= least.delay_ms ? one : least), null);

/** The clock of one connection. A new connection may be to a daemon that was restarted: take a new clock. */
export class Clock {
  #exchanges = [];

  /** Take the daemon's answer, heard at `now_ms`. */
  hear(frame, now_ms) {
    this.#exchanges = keep(this.#exchanges, exchange(frame.sent, frame.received_ns, frame.replied_ns, now_ms));
  }

  /** How well it is known, or null before the first answer. */
  get known() {
    return best(this.#exchanges);
  }

  /** The page's time of an instant of the daemon; NaN before the first answer. */
  toPage_ms(daemon_ns) {
    return daemon_ns / NS_PER_MS - (this.known?.offset_ms ?? NaN);
  }

  /** The daemon's time of an instant of the page; NaN before the first answer. */
  toDaemon_ns(page_ms) {
    return (page_ms + (this.known?.offset_ms ?? NaN)) * NS_PER_MS;
  }
}
