/** Teaching the daemon an unknown chanter: the nine notes, lit one after the other as they are heard. */

import { fill, html, say, show } from "../ui/html.js";

const SCALE = ["low G", "low A", "B", "C", "D", "E", "F", "high G", "high A"];

/** The nine notes as {note, state}: "known", "next" or "to come". Pure. */
export function scale(learning) {
  return SCALE.map((note, index) => ({
    note,
    state: index < learning.heard ? "known" : note === learning.next_note ? "next" : "to come",
  }));
}

/** draw(player) for the set-up. */
export function learningView(find) {
  const first = find("#learning-said").textContent;
  return ({ learning }) => {
    const going = learning?.state === "running";
    say(find("#learning-said"), learning?.said ?? first);
    show(find("#scale"), learning !== null);
    if (learning)
      fill(
        find("#scale"),
        html`${scale(learning).map((one) => html`<li class="${one.state.replace(" ", "-")}"><b>${one.note}</b> <small>${one.state}</small></li>`)}`,
      );
    say(find("#learning"), going ? "Cancel" : learning ? "Begin again with low G" : "Begin with low G");
  };
}
