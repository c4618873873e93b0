/** The set-up of a chanter: its input, its kind, learning it, measuring the click. */

import * as api from "../core/api.js";
import { calibrationView } from "./calibration.js";
import { showChoices } from "../practise/controls.js";
import { fill, html, say, show } from "../ui/html.js";
import { learningView } from "./learning.js";
import { addSeatWords, offersWords, removeSeatWords } from "./seat_words.js";

const option = (one, now) =>
  html`<button type="button" data-input="${one.name}" aria-pressed="${one.name === now}">
    <b>${one.name}</b> <small>${one.said}</small>
  </button>`;

const offer = (one) =>
  html`<button type="button" data-offer="${one.name}"><b>${addSeatWords(one.name)}</b> <small>${one.said}</small></button>`;

/** draw(state, player); `now()` returns the player shown, `sound()` asks the browser for sound. */
export function setup(find, { now, sound }) {
  const dialog = find("#setup");
  const learning = learningView(find);
  const calibration = calibrationView(find);
  let inputs = { inputs: [], said: "" };
  let refused = null;

  async function attempt(action) {
    refused = null;
    try {
      await action();
    } catch (error) {
      if (!(error instanceof api.Refused)) throw error;
      refused = error.message;
    }
    dialog.dispatchEvent(new Event("changed", { bubbles: true }));
  }

  const look = () =>
    attempt(async () => {
      inputs = await api.inputs();
    });

  function open() {
    if (!dialog.open) dialog.showModal();
    look();
  }

  find("#setup-open").addEventListener("click", open);
  find("#empty-input").addEventListener("click", open);
  find("#unready button").addEventListener("click", open);
  find("#setup-close").addEventListener("click", () => dialog.close());
  find("#inputs-again").addEventListener("click", look);
  find("#inputs").addEventListener("click", (event) => {
    const chosen = event.target.closest("[data-input]");
    if (chosen) attempt(() => api.takeInput(now().seat, chosen.dataset.input));
  });
  find("#offers").addEventListener("click", (event) => {
    const chosen = event.target.closest("[data-offer]");
    if (chosen) attempt(() => api.addSeat(chosen.dataset.offer));
  });
  find("#seat-remove").addEventListener("click", () => attempt(() => api.removeSeat(now().seat)));
  find("#profile").addEventListener("change", (event) =>
    attempt(() => api.takeProfile(now().seat, event.target.value)),
  );
  find("#learning").addEventListener("click", () => {
    const { seat, learning } = now();
    attempt(() => (learning?.state === "running" ? api.stopLearning(seat) : api.startLearning(seat)));
  });
  find("#calibration").addEventListener("click", () => {
    const { seat, calibration } = now();
    sound();
    attempt(() => (calibration?.state === "running" ? api.stopCalibration(seat) : api.startCalibration(seat)));
  });

  return (state, seat) => {
    if (!dialog.open) return;
    say(find("#input-now"), seat.chanter.said);
    fill(find("#inputs"), html`${inputs.inputs.map((one) => option(one, seat.chanter.input))}`);
    say(find("#inputs-said"), inputs.said);
    const { offers, seats } = state.daemon;
    show(find("#offers-part"), offers.length > 0 || seats.length > 1);
    say(find("#offers-said"), offersWords(offers.length));
    fill(find("#offers"), html`${offers.map(offer)}`);
    show(find("#seat-remove"), seats.length > 1);
    say(find("#seat-remove"), removeSeatWords(seat));
    showChoices(find("#profile"), find("#profile-said"), state.daemon.profiles, seat.chanter.profile);
    learning(seat);
    calibration(seat);
    show(find("#setup-refused"), refused !== null);
    say(find("#setup-refused span"), refused ?? "");
  };
}
