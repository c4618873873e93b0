/** Every phrase about playback oneself again. */

export const LOUD = "A chanter's tone is piercing. Begin quietly, above all in headphones.";

export const NOTHING_HEARD = "Nothing was heard in this rep; the model can be.";

const SPEED = { 1: "at full speed", 2: "at half speed", 4: "at a quarter of the speed" };

/** What is heard of one's own. */
export const heardWords = (words, factor) => `You hear ${words} as you played it, ${SPEED[factor]}.`;

/** What is heard of the model. */
export const modelWords = (factor) => `You hear the model, ${SPEED[factor]}.`;

/** Which rep, counted from 1 as everywhere on the page. */
export const repName = (rep) => `rep ${rep.rep + 1}`;

/** How to work it from the keyboard. */
export const REPLAY_KEYS = "arrow keys: left is yours, right is the model";
