/** The sheet: drills chosen in the book, and the form that makes a PDF of them. */

import * as api from "./api.js";
import { offSheet } from "./bookstate.js";
import { fill, html, say, show } from "./html.js";
import { EMPTY_SHEET, MAKING, fileName, sheetWords } from "./bookwords.js";

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

/** draw(book); `turn(change)` changes the book. */
export function sheetView(find, turn) {
  const dialog = find("#sheet");
  let said = "";
  let making = false;
  let drills = [];

  function tell(words, busy) {
    said = words;
    making = busy;
    turn((book) => ({ ...book }));
  }

  async function make() {
    if (making) return;
    const title = find("#sheet-title").value.trim();
    tell(MAKING, true);
    try {
      const pdf = await api.sheet({
        drills,
        stages: find("#sheet-stages").checked,
        tempo: find("#sheet-tempo").value.trim(),
        title,
        paper: find("#sheet-paper").value,
      });
      handOver(pdf, fileName(title));
      tell(`${fileName(title)} was made.`, false);
    } catch (error) {
      tell(error instanceof api.Refused ? error.message : "", false);
      if (!(error instanceof api.Refused)) throw error;
    }
  }

  find("#sheet-open").addEventListener("click", () => dialog.showModal());
  find("#sheet-close").addEventListener("click", () => dialog.close());
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
    say(find("#sheet-open"), sheetWords(drills.length));
    fill(find("#sheet-drills"), html`${drills.map(line)}`);
    show(find("#sheet-empty"), drills.length === 0);
    say(find("#sheet-empty"), EMPTY_SHEET);
    find("#sheet-make").disabled = drills.length === 0 || making;
    show(find("#sheet-clear"), drills.length > 0);
    say(find("#sheet-said"), said);
  };
}
