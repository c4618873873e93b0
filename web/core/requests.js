/** What the daemon may refuse: done because the player wants it, or fetched by the page itself. */

import { Refused } from "./api.js";

/** attempt(action), load(action); `refuse(said)` shows why something is not done, or (null) that nothing is refused. */
export function attempts({ refuse, draw }) {
  /** Fetch what nobody asked for: a refusal that is being read stays. */
  async function load(action) {
    try {
      await action();
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      refuse(error.message);
    }
    draw();
  }

  /** Do what the player wants: what was refused before is over. */
  function attempt(action) {
    refuse(null);
    return load(action);
  }

  return { attempt, load };
}
