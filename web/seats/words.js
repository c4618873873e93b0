/** Every phrase of the page with the codes. */

export const NEW_CODE = "New code";
export const CLOSED = "The class is not open to the network. Start chanterd with --lan, then learners can join.";
export const HOW = "Scan the code of your seat, or type it at";

/** As in "Ailsa, seat 2". */
export const seatTitle = (seat, name) => `${name}, seat ${seat}`;
