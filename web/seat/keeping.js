/** Whether what a learner plays in class is kept in their history: their own wish, which the desk shows too. */

import { Refused, keepSeat, keptSeat } from "../core/api.js";
import { say, show } from "../ui/html.js";
import { FROM_NOW_ON } from "./words.js";

/** Wire it for that seat; the teacher may have changed it while the page was not looked at. */
export function keepingView(find, seat) {
  const box = find("#keep");
  const said = find("#keep-said");

  async function look() {
    try {
      box.checked = (await keptSeat(seat)).keep;
      show(find("#keeping"), true);
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      show(find("#keeping"), false); // the page says already that it has no class, or no good code
    }
  }

  box.addEventListener("change", async () => {
    try {
      await keepSeat(seat, box.checked);
      say(said, FROM_NOW_ON);
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      say(said, error.message);
      await look();
    }
  });
  document.addEventListener("visibilitychange", () => document.hidden || look());
  return look;
}
