/** Every seat's QR code and code, for the teacher to show or to print; those of seats that come later appear too. */

import { fill, html, say, show } from "../ui/html.js";
import { Refused, renewWay, ways } from "../core/api.js";
import { CERTIFICATE, CLOSED, HOW, NEW_CODE, seatTitle } from "./words.js";

/** How often to look for new seats, ms. */
const LOOK_MS = 3000;

const said = document.querySelector("#said");
const certificate = document.querySelector("#certificate");
const list = document.querySelector("#seats");

// The end of the code in the picture's address has the browser fetch it again when the code is new.
const card = ({ seat, name, code }) => html`<li>
  <h2>${seatTitle(seat, name)}</h2>
  <img src="../api/ways/${seat}.svg?of=${code.slice(-5)}" alt="QR code for ${seatTitle(seat, name)}">
  <code>${code}</code>
  <button type="button" data-renew="${seat}">${NEW_CODE}</button>
</li>`;

async function look() {
  try {
    const { page, fingerprint, seats } = await ways();
    say(said, page === null ? CLOSED : `${HOW} ${page}`);
    fill(list, html`${seats.map(card)}`);
    show(document.querySelector("#print"), seats.length > 0);
    show(certificate, fingerprint !== null);
    fill(certificate, html`${CERTIFICATE} <code>${fingerprint}</code>`);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    say(said, error.message);
  }
}

list.addEventListener("click", async (event) => {
  const button = event.target.closest("[data-renew]");
  if (!button) return;
  try {
    await renewWay(button.dataset.renew);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    say(said, error.message); // and not what looking again would say over it
    return;
  }
  await look();
});
document.querySelector("#print").addEventListener("click", () => print());
setInterval(() => document.hidden || look(), LOOK_MS);
look();
