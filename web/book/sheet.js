/** The sheet: drills chosen in the book, and the form that makes a PDF of them. */

import * as api from "../core/api.js";
import { offSheet } from "./state.js";
import { fill, html, say, show } from "../ui/html.js";
import { EMPTY_SHEET, GIVEN_UP, MAKING, fileName, progressWords, sheetMakingWords, sheetWords } from "./words.js";

const RELEASE_MS = 60_000;

const line = (drill, index) =>
  html`<li>
    <span id="on-sheet-${index}">${drill}</span>
    <button type="button" data-drill="${drill}" aria-label="Take off: ${drill}">Take off</button>
  </li>`;

/** Hand a file to the browser, to be kept or opened. */
function handOver(blob, name) {
  const link = Object.assign(document.createElement("a"), { href: URL.createObjectURL(blob), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), RELEASE_MS);
}

function drawProgress(find, progress) {
  show(find("#sheet-progress"), progress !== null);
  if (!progress) return;
  const bar = find("#sheet-done");
  if (progress.of === 0) bar.removeAttribute("value");
  else Object.assign(bar, { max: progress.of, value: progress.done });
  say(find("#sheet-far"), progressWords(progress));
}

/** draw(book), in every view; `turn(change)` changes the book. */
export function sheetView(find, turn) {
  const dialog = find("#sheet");
  let said = "";
  let progress = null;
  let stop = null;
  let drills = [];

  function tell(words, far = null) {
    said = words;
    progress = far;
    turn((book) => ({ ...book }));
  }

  async function make() {
    if (stop) return;
    const title = find("#sheet-title").value.trim();
    const asked = {
      drills,
      stages: find("#sheet-stages").checked,
      tempo: find("#sheet-tempo").value.trim(),
      title,
      paper: find("#sheet-paper").value,
    };
    const { signal } = (stop = new AbortController());
    tell(MAKING, { done: 0, of: 0 });
    try {
      handOver(await api.sheet(asked, (far) => tell(MAKING, far), signal), fileName(title));
      tell(`${fileName(title)} was made.`);
    } catch (error) {
      tell(signal.aborted ? GIVEN_UP : error instanceof api.Refused ? error.message : "");
      if (!(error instanceof api.Refused)) throw error;
    } finally {
      stop = null;
      turn((book) => ({ ...book }));
    }
  }

  find("#sheet-open").addEventListener("click", () => dialog.showModal());
  find("#sheet-close").addEventListener("click", () => dialog.close());
  find("#sheet-stop").addEventListener("click", () => {
    stop?.abort();
    find("#sheet-title").focus();
  });
  find("#sheet-clear").addEventListener("click", () => turn((book) => ({ ...book, sheet: [] })));
  find("#sheet-form").addEventListener("submit", (event) => {
    event.preventDefault();
    make();
  });
  find("#sheet-drills").addEventListener("click", (event) => {
    const { drill } = event.target.closest("button")?.dataset ?? {};
    if (!drill) return;
    turn((book) => offSheet(book, drill));
    find("#sheet-drills button, #sheet-close").focus();
  });

  return (book) => {
    drills = book.sheet;
    say(find("#sheet-open"), progress ? sheetMakingWords(progress) : sheetWords(drills.length));
    drawProgress(find, progress);
    fill(find("#sheet-drills"), html`${drills.map(line)}`);
    show(find("#sheet-empty"), drills.length === 0);
    say(find("#sheet-empty"), EMPTY_SHEET);
    find("#sheet-make").disabled = drills.length === 0 || progress !== null;
    show(find("#sheet-clear"), drills.length > 0);
    say(find("#sheet-said"), said);
  };
}
