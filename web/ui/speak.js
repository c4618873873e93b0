/** Announcements by the browser's own voice, for those who play without looking; off by default. */

/** Say it aloud now, in place of what is still being said. Does nothing in a browser that has no voice. */
export function speak(said) {
  const voice = globalThis.speechSynthesis;
  if (!voice) return;
  voice.cancel();
  const words = new SpeechSynthesisUtterance(said);
  words.lang = "en-GB";
  voice.speak(words);
}
