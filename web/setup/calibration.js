/** The played calibration: how many clicks were heard, and what was found. */

import { say, show } from "../ui/html.js";
import { whole } from "../ui/words.js";

/** What was measured, in words; "" while it is not known. Pure. */
export function result({ calibration, chanter }) {
  const ms = calibration ? calibration.calibration_ms : chanter.calibration_ms;
  if (ms === null) return "";
  const spread = calibration?.spread_ms ?? null;
  return `${Math.round(ms)} ms${spread === null ? "" : ` ± ${whole(spread)} ms`} is taken off each note.`;
}

/** draw(player) for the set-up. */
export function calibrationView(find) {
  const first = find("#calibration-said").textContent;
  return (seat) => {
    const { calibration } = seat;
    const going = calibration?.state === "running";
    say(find("#calibration-said"), calibration?.said ?? first);
    const heard = find("#calibration-heard");
    show(heard, going);
    if (calibration) {
      heard.max = calibration.clicks;
      heard.value = calibration.heard;
    }
    say(find("#calibration-result"), going ? `${calibration.heard} of ${calibration.clicks}` : result(seat));
    say(find("#calibration"), going ? "Cancel" : "Start the clicks");
  };
}
