/** The set-up's phrases about seats that come and go. */

/** How many chanters no seat listens to. */
export const offersWords = (free) =>
  free === 0
    ? "Every chanter that is plugged in has a seat."
    : free === 1
      ? "One MIDI port has no seat yet."
      : `${free} MIDI ports have no seat yet.`;

/** On the button that gives a port a seat of its own. */
export const addSeatWords = (port) => `Add a seat for ${port}`;

/** On the button that takes a seat away. */
export const removeSeatWords = ({ seat, player }) => `Remove seat ${seat} (${player.name})`;
