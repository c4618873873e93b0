/** The seats on the desk: who sits where, the last rep in a word, and what can be done with one. */

import { fill, html } from "../ui/html.js";
import { chanterWords, rowWords, wordOf } from "./words.js";

const pressed = (on) => (on ? "true" : "false");

function actions({ seat, name }, klass, several) {
  const playing = klass?.state === "playing";
  const quiet = !playing || klass.frozen;
  const lit = klass?.spotlight === seat;
  const button = (act, words, on, said) =>
    html`<button type="button" data-act="${act}" data-seat="${seat}" ${on === null ? "" : html`aria-pressed="${pressed(on)}"`} aria-label="${said}">${words}</button>`;
  return html`<span class="do">
    ${button("light", "Wall", lit, `Give ${name} the whole wall`)}
    ${playing ? button("alone", "Alone", klass.alone === seat, `Let ${name} play alone`) : ""}
    ${quiet && klass?.drill ? button("replay", "Half speed", null, `Play the last rep of ${name} again at half speed`) : ""}
    ${several && !playing ? button("remove", "Remove", null, `Remove seat ${seat} (${name})`) : ""}
  </span>`;
}

const seatRow = (seat, klass, several) => html`<li class="seat" ${klass?.spotlight === seat.seat ? html`data-lit` : ""}>
  <span class="who"><span>${seat.seat} · <a href="../?seat=${seat.seat}" target="_blank">${seat.name}</a></span> <small class="muted">${chanterWords(seat.chanter)}</small></span>
  <span class="word ${seat.row?.way ?? ""}">${wordOf(seat.row)}</span>
  <span class="muted">${rowWords(seat.row)}</span>
  <label class="metres"><input data-metres="${seat.seat}" value="${seat.distance_m}" inputmode="decimal" autocomplete="off" aria-label="Metres from the loudspeaker to ${seat.name}"> m</label>
  <label class="kept"><input type="checkbox" data-keep="${seat.seat}" ${klass?.unkept.includes(seat.seat) ? "" : html`checked`} aria-label="Keep the reps of ${seat.name} in their history"> kept</label>
  ${actions(seat, klass, several)}
</li>`;

/** draw(rows, klass, offers); `act(name, seat)` and `place(seat, typed)`, `keep(seat, wish)` do what is pressed and typed. */
export function seatsView(find, { act, place, keep, add }) {
  const list = find("#seats");
  list.addEventListener("click", (event) => {
    const button = event.target.closest("[data-act]");
    if (button) act(button.dataset.act, button.dataset.seat);
  });
  list.addEventListener("change", ({ target }) => {
    if (target.dataset.keep !== undefined) keep(target.dataset.keep, target.checked);
    else place(target.dataset.metres, target.value);
  });
  find("#offers").addEventListener("click", (event) => {
    const button = event.target.closest("[data-offer]");
    if (button) add(button.dataset.offer);
  });
  return (rows, klass, offers) => {
    if (document.activeElement?.dataset?.metres === undefined)
      fill(list, html`${rows.map((seat) => seatRow(seat, klass, rows.length > 1))}`);
    fill(find("#offers"), html`${offers.map((one) => html`<button type="button" data-offer="${one.name}">Add a seat for ${one.name}</button>`)}`);
  };
}
