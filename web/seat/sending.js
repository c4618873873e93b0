/** The part of the page that sends a chanter plugged in here: which one, how it goes, or why it cannot be. */

import { fill, html, say, show } from "../ui/html.js";
import { Awake } from "./awake.js";
import { Sender } from "./sender.js";
import { LINK_DOWN, NOT_SECURE, NO_CHANTER, NO_MIDI, OFFERED, REFUSED, STOP_SENDING, UNPLUGGED, USE_CHANTER, sendingWords } from "./words.js";

/** Wire it; `url` is where to join. */
export function sendingView(find, url) {
  const button = find("#send");
  const choice = find("#port");
  const said = find("#sending-said");
  let access = null;
  let sending = null;
  let unplugged = null; // the id of the chanter that was pulled out while it played
  let wanted = false;
  const awake = new Awake();
  const sender = new Sender(url, (state, reason) => {
    if (state === "shut") stop(reason);
    else say(said, state === "down" ? LINK_DOWN : sendingWords(sending.name));
  });

  function stop(reason) {
    sender.stop();
    sending = null;
    awake.release();
    say(button, USE_CHANTER);
    say(said, reason);
  }

  function begin(port) {
    sending = port;
    unplugged = null;
    awake.keep();
    say(button, STOP_SENDING);
    sender.listen(port);
  }

  /** What is plugged in has changed, or is looked at for the first time. */
  function offer() {
    const ports = [...access.inputs.values()].filter((port) => port.state !== "disconnected");
    fill(choice, html`${ports.map((port) => html`<option value="${port.id}">${port.name}</option>`)}`);
    show(choice, ports.length > 1);
    if (sending && !ports.some((port) => port.id === sending.id)) {
      unplugged = sending.id;
      sender.stop(); // what sounds at the seat ends, and the seat waits
      sending = null;
    }
    if (sending) choice.value = sending.id;
    else if (ports.length > 0) begin(ports.find((port) => port.id === unplugged) ?? ports[0]);
    else say(said, unplugged === null ? NO_CHANTER : UNPLUGGED);
  }

  async function use() {
    if (sending || unplugged !== null) {
      wanted = false;
      unplugged = null;
      return stop(OFFERED);
    }
    try {
      access ??= await navigator.requestMIDIAccess();
    } catch (error) {
      console.warn(error);
      return say(said, REFUSED);
    }
    wanted = true;
    access.onstatechange = () => wanted && offer();
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
