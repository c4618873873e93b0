/** What this browser keeps from one visit to the next: volumes, the accent, the tuning, how oneself is heard, light or dark, clicks to the beat, the rule. */

const NAME = "chanterd";

const DEFAULTS = {
  volume: 0.4, accent: true, theme: null, tone: 0.3, tuning: null, to_beat: 1, speak: false, rule: null,
  span: "3 months", speed: 1, replay_click: true,
};

/** What was kept; a broken or a blocked store is reported on the console, and the defaults apply. */
export function loadSettings() {
  try {
    return { ...DEFAULTS, ...JSON.parse(localStorage.getItem(NAME) ?? "{}") };
  } catch (error) {
    console.error("What this browser kept cannot be read; the usual settings are taken.", error);
    return { ...DEFAULTS };
  }
}

/** Keep these settings. */
export function saveSettings(settings) {
  try {
    localStorage.setItem(NAME, JSON.stringify(settings));
  } catch (error) {
    console.error("This browser does not let the settings be kept.", error);
  }
}
