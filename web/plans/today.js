/** What to practise today: the daemon's proposal, a line with its reason and what can be done about it. */

import * as api from "../core/api.js";
import { fill, html, show } from "../ui/html.js";
import { ALL_DONE, CHOOSE, NOT_THIS_WEEK, NOT_TODAY, START_ALL, TODAY, doneWords, lengthWords, againWords } from "./today_words.js";

const line = (one, whole) => html`<li>
  <p>${one.reason} <span class="muted">${lengthWords(one)}</span></p>
  <div class="row">
    <button type="button" data-start="${one.drill}" aria-label="${whole ? "Start" : CHOOSE}: ${one.drill}">${whole ? "Start" : CHOOSE}</button>
    <button type="button" data-refuse="today" data-drill="${one.drill}" aria-label="${NOT_TODAY}: ${one.drill}">${NOT_TODAY}</button>
    ${whole
      ? html`<button type="button" data-refuse="week" data-drill="${one.drill}" aria-label="${NOT_THIS_WEEK}: ${one.drill}">${NOT_THIS_WEEK}</button>`
      : ""}
  </div>
</li>`;

/** Whether there is anything to say. Pure. */
const hasWords = (proposal) =>
  proposal !== null && proposal.lines.length + proposal.done.length + proposal.refused.length > 0;

/** The proposal as markup; `whole`: with all that can be done about it. Pure. */
export function proposed(proposal, whole) {
  const { lines, done, refused } = proposal;
  return html`<h2>${TODAY}</h2>
    ${lines.length > 0 ? html`<ol>${lines.map((one) => line(one, whole))}</ol>` : html`<p>${ALL_DONE}</p>`}
    ${done.length > 0 ? html`<p class="muted">${doneWords(done)}</p>` : ""}
    <div class="row">
      ${whole && lines.length > 1 ? html`<button type="button" class="go" data-all>${START_ALL}</button>` : ""}
      ${refused.length > 0 ? html`<button type="button" data-again>${againWords(refused)}</button>` : ""}
    </div>`;
}

/**
 * draw() and look(): fetches the proposal again.
 *
 * `start(line)` starts a line, `choose(line)` sets it up for Start, `all()` starts all of them; `seat()` names the player's chanter, or null.
 */
export function todayView(places, { attempt, load, seat, start, choose, all }) {
  let proposal = null;
  let whose = null;

  const take = (ask, doing = attempt) =>
    doing(async () => {
      const mine = seat();
      const answer = await ask(mine);
      [proposal, whose] = [answer, mine];
    });

  const look = () => (seat() === null ? null : take(api.proposal, load));

  function act({ dataset }, whole) {
    if ("start" in dataset) (whole ? start : choose)(proposal.lines.find((one) => one.drill === dataset.start));
    else if ("refuse" in dataset) take((seat) => api.refuseProposed(seat, dataset.drill, dataset.refuse === "week"));
    else if ("all" in dataset) all();
    else if ("again" in dataset) take(api.proposeAgain);
  }

  for (const { place, whole } of places)
    place.addEventListener("click", (event) => {
      const button = event.target.closest("button");
      if (button) act(button, whole);
    });

  return {
    look,
    draw() {
      const there = whose === seat() && hasWords(proposal);
      for (const { place, whole } of places) {
        show(place, there);
        const held = place.contains(document.activeElement);
        if (there) fill(place, proposed(proposal, whole));
        if (held && !place.contains(document.activeElement)) place.querySelector("button")?.focus();
      }
    },
  };
}
