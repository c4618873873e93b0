/** Every phrase of the page with the codes. */

export const NEW_CODE = "New code";
export const CLOSED = "The class is not open to the network. Start chanterd with --lan, then learners can join; if you have, this machine has no network address yet.";
export const CERTIFICATE =
  "Browsers will say that they do not know the certificate. Choose to go on, if the fingerprint that they show, or that 'chanterd join' names, is this one:";
export const HOW = "Scan the code of your seat, or type it at";

/** As in "Ailsa, seat 2". */
export const seatTitle = (seat, name) => `${name}, seat ${seat}`;
