/** A past run of free playing: every ornament of it, to pick and to look at; to take away, to delete. */

import * as api from "../core/api.js";
import { ornamentList } from "../listen/ornaments.js";
import { fill, html, show } from "../ui/html.js";
import { sureButtons, sureMarkup } from "./sure.js";
import { DELETE, EACH, SURE, TAKE, freeFigureRows } from "./free_words.js";

export const FREE_RUN = html`
  <dl id="free-figures" class="figures"></dl>
  <div class="row acts">
    <a id="free-take" class="button" download>${TAKE}</a>
    <button type="button" id="free-delete">${DELETE}</button>
  </div>
  ${sureMarkup("free", SURE)}
  <section aria-labelledby="free-each"><h3 id="free-each">${EACH}</h3><div id="free-ornaments" class="ornaments"></div></section>`;

/** Fetch all that is shown of a run: {kind, run, ornaments}. */
export const fetchFreeRun = async (number) => ({ kind: "free", ...(await api.freeRun(number)) });

/** draw(open, sure): `open` as fetched, or null. `ask(sure)` asks before deleting, `deleted()` leads away after it. */
export function freeRunView(find, { attempt, ask, deleted }) {
  let open = null;
  const list = ornamentList(find("#free-ornaments"), EACH);
  sureButtons(find, "free", { ask, gone: () => attempt(async () => deleted(await api.deleteFreeRun(open.run.run))) });

  return {
    draw(next, sure) {
      show(find("#past-free"), next !== null);
      open = next;
      if (open === null) return;
      const { run, ornaments } = open;
      fill(find("#free-figures"), html`${freeFigureRows(run).map(([name, what]) => html`<div><dt>${name}</dt><dd>${what}</dd></div>`)}`);
      find("#free-take").href = api.takeOfFree(run.run);
      show(find("#free-take"), run.heard);
      show(find("#free-sure"), sure);
      list.draw(ornaments);
    },
  };
}
