/** The status view: asked for when it is opened and on "Look again", never by itself, so that nothing moves unasked. */

import * as api from "../core/api.js";
import { fill, html, say } from "../ui/html.js";
import { CHANTER, DASH } from "../ui/words.js";

const MINUTE = 60;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;
const TIMING = { driver: "Timed by the driver.", arrival: "Timed by arrival." };

/** A length of time in words, to two units: "3 days 4 h", "12 min 5 s". Pure. */
export function spanWords(seconds) {
  if (seconds >= DAY) return `${Math.floor(seconds / DAY)} d ${Math.floor((seconds % DAY) / HOUR)} h`;
  if (seconds >= HOUR) return `${Math.floor(seconds / HOUR)} h ${Math.floor((seconds % HOUR) / MINUTE)} min`;
  return `${Math.floor(seconds / MINUTE)} min ${Math.floor(seconds % MINUTE)} s`;
}

const figure = (value, unit) => (value === null ? DASH : `${value.toFixed(1)} ${unit}`);

/** The rows of the two tables, as [name, what it is]. Pure. */
const daemonRows = (status) => [
  ["Version", `${status.version}, Python ${status.python}`],
  ["System", status.system],
  ["Running for", spanWords(status.up_s)],
  ["Since", status.since.replace("T", " ").replace("+00:00", " UTC")],
  ["Memory", `${status.memory_mb} MB`],
  ["Processor time", spanWords(status.processor_s)],
  ["Woke late, typically", figure(status.lateness.median_ms, "ms")],
  ["Woke late, at worst in a minute", figure(status.lateness.worst_ms, "ms")],
  ["Data folder", status.data],
];

const pageRows = ({ pages }) => [
  ["Open now", pages.now],
  ["Frames sent", pages.frames],
  ["Passing frames not sent to slow pages", pages.lost],
  ["Pages that were too slow and were restarted", pages.let_go],
];

const rows = (pairs) => html`${pairs.map(([name, what]) => html`<tr><th scope="row">${name}</th><td>${what}</td></tr>`)}`;

const seatRow = (seat) => html`<tr>
  <th scope="row">${seat.seat}</th><td>${seat.input}</td>
  <td><b>${CHANTER[seat.state] ?? seat.state}</b> ${seat.said} ${TIMING[seat.timing] ?? ""}</td><td>${seat.messages}</td>
</tr>`;

/** `open()` looks, when the view is shown; `attempt(action)` shows a refusal of the daemon. */
export function diagnosticsView(find, attempt) {
  const look = () =>
    attempt(async () => {
      const status = await api.status();
      fill(find("#diagnostics-daemon tbody"), rows(daemonRows(status)));
      fill(find("#diagnostics-pages tbody"), rows(pageRows(status)));
      fill(find("#diagnostics-seats tbody"), html`${status.seats.map(seatRow)}`);
      fill(find("#diagnostics-log"), html`${status.log.toReversed().map((line) => html`<li>${line}</li>`)}`);
      say(find("#diagnostics-when"), `Looked at ${new Date().toLocaleTimeString("en-GB")}.`);
    });
  find("#diagnostics-again").addEventListener("click", look);
  return { open: look };
}
