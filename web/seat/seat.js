/** A learner's own page: the frames of one seat, and the last verdict. */

import { Live } from "../core/live.js";
import { say } from "../ui/html.js";

const seat = location.pathname.split("/").pop();
const find = (selector) => document.querySelector(selector);
const address = new URL(`/live?seat=${seat}`, location.href);
address.protocol = address.protocol.replace("http", "ws");

function show(frame) {
  if (frame.kind === "hello" || frame.kind === "resync") {
    const shown = frame.state.seats[0];
    if (shown) say(find("#who"), `${shown.name}, seat ${seat}`);
  } else if (frame.kind === "grid") {
    say(find("#drill"), frame.practice?.drill ?? "");
  } else if (frame.kind === "rep") {
    say(find("#verdict"), frame.said);
  }
}

new Live(address.href, { hear: show, garbled: (sentence) => say(find("#verdict"), sentence), link: () => {} }).open();
