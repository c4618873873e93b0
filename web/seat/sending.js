/** The part of the page that sends a chanter plugged in here: which one, how it goes, or why it cannot be. */

import { fill, html, say, show } from "../ui/html.js";
import { Sender } from "./sender.js";
import { LINK_DOWN, NOT_SECURE, NO_CHANTER, NO_MIDI, OFFERED, REFUSED, STOP_SENDING, USE_CHANTER, sendingWords } from "./words.js";

/** Wire it; `url` is where to join. */
export function sendingView(find, url) {
  const button = find("#send");
  const choice = find("#port");
  const said = find("#sending-said");
  let access = null;
  let sending = null;
  const sender = new Sender(url, (state, reason) => {
    if (state === "shut") stop(reason);
    else say(said, state === "down" ? LINK_DOWN : sendingWords(sending.name));
  });

  function stop(reason) {
    sender.stop();
    sending = null;
    say(button, USE_CHANTER);
    say(said, reason);
  }

  function begin(port) {
    sending = port;
    say(button, STOP_SENDING);
    sender.listen(port);
  }

  function offer() {
    const ports = [...access.inputs.values()];
    fill(choice, html`${ports.map((port) => html`<option value="${port.id}">${port.name}</option>`)}`);
    show(choice, ports.length > 1);
    if (ports.length === 0) say(said, NO_CHANTER);
    else if (!sending || !ports.some((port) => port.id === sending.id)) begin(ports[0]);
  }

  async function use() {
    if (sending) return stop(OFFERED);
    try {
      access ??= await navigator.requestMIDIAccess();
    } catch (error) {
      console.warn(error);
      return say(said, REFUSED);
    }
    access.onstatechange = () => access && offer();
    return offer();
  }

  if (!navigator.requestMIDIAccess) {
    say(said, window.isSecureContext ? NO_MIDI : NOT_SECURE);
    return;
  }
  say(said, OFFERED);
  show(button, true);
  button.addEventListener("click", use);
  choice.addEventListener("change", () => begin(access.inputs.get(choice.value)));
}
