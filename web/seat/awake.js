/** Keeps the screen of a phone on while a chanter plays there: when it goes dark, the page sends nothing any more. */

export class Awake {
  #wanted = false;
  #lock = null;

  constructor() {
    document.addEventListener("visibilitychange", () => document.hidden || this.#take()); // hiding the page ends it
  }

  /** From now on. */
  keep() {
    this.#wanted = true;
    this.#take();
  }

  /** No longer. */
  release() {
    this.#wanted = false;
    this.#lock?.release();
    this.#lock = null;
  }

  async #take() {
    if (!this.#wanted || !navigator.wakeLock) return;
    try {
      this.#lock = await navigator.wakeLock.request("screen");
      if (!this.#wanted) this.release();
    } catch (error) {
      console.info("The screen may go dark:", error.message); // an empty battery, say; nothing else changes
    }
  }
}
