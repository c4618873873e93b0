/** Every phrase of a seat's own page; what the daemon says is shown as it is. */

export const CONNECTING = "Connecting to the class …";
export const LOST = "The class is out of reach; this page comes back by itself.";
export const OUT = "Your code is no longer good. Ask your teacher for a new one, and enter it at /enter.";
export const NOTHING = "Wait for your teacher to begin.";
export const STOP_SENDING = "Stop sending";
export const USE_CHANTER = "Use a chanter plugged in here";
export const NO_CHANTER = "No chanter is plugged in here. Plug it in and switch it on; it appears by itself.";
export const UNPLUGGED = "The chanter was unplugged. Plug it in again; it goes on by itself.";
export const REFUSED = "Your browser did not allow MIDI. Allow it in the browser's settings for this page, then try again.";
export const LINK_DOWN = "The link is down. What you play in the next ten seconds is sent when it is back.";
export const FROM_NOW_ON = "From your next class on.";
export const OFFERED = "Plug your chanter into this device, and what you play here sounds at your seat.";

/** Why this browser cannot send, and what to do instead. */
export const NOT_SECURE =
  "A browser gives MIDI to secure pages only, and this page is not one. Ask your teacher to start chanterd with " +
  "--tls-self-signed, or join from a laptop with 'chanterd join'.";
export const NO_MIDI =
  "This browser has no Web MIDI. Use another browser on this device, or join from a laptop with 'chanterd join'.";

export const whoWords = (name, seat) => `${name}, seat ${seat}`;
export const rowWords = (run) => `${run.in_a_row} clean in a row, ${run.clean} of ${run.played} clean`;
export const sendingWords = (port) => `Sending what you play on ${port}.`;
