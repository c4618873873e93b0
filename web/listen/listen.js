/** The view "Just play": what sounds, the last ornament, how each went today, and a recording taken apart. */

import * as api from "../core/api.js";
import { fill, html, say, show } from "../ui/html.js";
import { patch } from "../ui/svg.js";
import { soundingWords } from "../ui/words.js";
import { shownLarge } from "./judged.js";
import { HEIGHT, stripMarks } from "./strip.js";
import { tuneNow } from "./tune.js";
import { tally } from "./table.js";
import { takeView } from "./take.js";
import {
  BY_TUNE, FOLLOWING, LEAD, LEAVE, NO_BEAT, NONE_TODAY, NOTHING, OFFER_KEY, OPEN_TUNE, PRACTISE, RUNNING, SIMULATED, SIMULATED_WAYS, TODAY, WITH_CLICK,
  handWords, nameWords, otherWords, placeWords, stripSentence,
} from "./words.js";

const FRAME = html`
  <div class="live">
  <section class="heard" aria-label="The last ornament">
    <h1 id="listen-name">${NOTHING}</h1>
    <p id="listen-way"></p>
    <div id="listen-drawn" hidden><svg id="listen-strip" role="img"></svg></div>
    <p id="listen-said" role="status"></p>
    <p id="listen-or" class="muted"></p>
    <p id="listen-hand" class="muted"></p>
    <div id="listen-offer" class="offer" role="status" hidden><p></p><button type="button" class="go" aria-keyshortcuts="${OFFER_KEY}">${WITH_CLICK}</button><span class="hint">${OFFER_KEY}</span></div>
    <p id="listen-lead" class="muted">${LEAD}</p>
    <p id="listen-simulated" class="notice" hidden><span>${SIMULATED}</span> ${SIMULATED_WAYS.map(([href, words]) => html`<a class="button" href="${href}">${words}</a> `)}</p>
  </section>
  <section id="listen-tune" class="playing-now" aria-label="The tune that you play" hidden>
    <h2 id="listen-title" aria-live="polite"></h2>
    <p id="listen-verdict"></p>
    <div id="listen-music" role="region" aria-label="Its music" tabindex="0"></div>
    <p class="row"><a id="listen-open" class="button" href="#tunes">${OPEN_TUNE}</a><button type="button" id="listen-leave">${LEAVE}</button></p>
  </section>
  </div>
  <div class="so-far">
  <section class="counted" aria-labelledby="listen-today">
    <p class="sounding-now" aria-hidden="true"><b id="listen-now"></b></p>
    <h2 id="listen-today">${TODAY}</h2>
    <p id="listen-none" class="muted">${NONE_TODAY}</p>
    <div id="listen-rows"></div>
    <p id="listen-work"></p>
    <p><button type="button" id="listen-practise" hidden>${PRACTISE}</button></p>
  </section>
  </div>
  <section class="take" aria-labelledby="listen-take"></section>`;

/**
 * draw(seat), take(file), accept(); `practise(drill, click_bpm)` leads to the chanter, `begin(ask)` starts what is offered, `leave()` has a tune followed no longer; `seat()` is the seat on the page, or null.
 */
export function listenView(find, { attempt, practise, begin, leave, redraw, seat }) {
  const root = find("#listen");
  fill(root, FRAME);
  const tune = tuneNow(find, { attempt, redraw, leave });
  const recording = takeView(find, { attempt, seat });
  let offered = false;

  const accept = () => {
    if (offered) begin((seat) => api.startOffered(seat));
    return offered;
  };

  find("#listen-offer button").addEventListener("click", accept);
  root.addEventListener("click", ({ target }) => {
    const wanted = target.closest("[data-drill]")?.dataset;
    if (wanted) practise(wanted.drill, wanted.bpm ? Number(wanted.bpm) : null);
  });

  return {
    take: recording.open,
    accept,
    open() {},
    draw(there, going) {
      tune.draw(there);
      const { rows, work_on, drill, offer } = there.free;
      const { last, tune: inTune } = shownLarge(there);
      const [name, way] = last === null ? [inTune ? FOLLOWING : NOTHING, ""] : nameWords(last);
      say(find("#listen-name"), going ? RUNNING : name);
      say(find("#listen-way"), going ? "" : placeWords(way, inTune && last !== null ? tune.barOf(last.note) : null));
      say(find("#listen-now"), soundingWords(there.sounding));
      const seen = last !== null && !going;
      show(find("#listen-drawn"), seen);
      if (seen) {
        const width = find("#listen-drawn").clientWidth;
        find("#listen-strip").setAttribute("viewBox", `0 0 ${width} ${HEIGHT}`);
        patch(find("#listen-strip"), stripMarks(last, width));
        find("#listen-strip").setAttribute("aria-label", stripSentence(last));
      }
      say(find("#listen-said"), seen ? last.said : "");
      say(find("#listen-or"), seen ? otherWords(last) : "");
      say(find("#listen-hand"), seen ? handWords(last, rows) : "");
      say(find("#listen-lead"), last === null ? LEAD : inTune ? BY_TUNE : NO_BEAT);
      show(find("#listen-simulated"), there.chanter.input === "demo" && !going && last === null && !inTune);
      offered = offer !== null && !going;
      show(find("#listen-offer"), offered);
      if (offered) say(find("#listen-offer p"), offer.said);
      show(find("#listen-none"), rows.length === 0);
      fill(find("#listen-rows"), rows.length === 0 ? html`` : tally(rows, TODAY));
      say(find("#listen-work"), work_on);
      show(find("#listen-practise"), drill !== null);
      if (drill !== null) find("#listen-practise").dataset.drill = drill;
    },
  };
}
