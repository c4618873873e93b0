/** Light or dark: as the reader's system has it, until the button says otherwise. */

import { say } from "./html.js";

/** Wire the button; `chosen` is "light", "dark" or null; `keep(theme)` is called with each choice. */
export function themeButton(button, chosen, keep) {
  const system = matchMedia("(prefers-color-scheme: dark)");
  let own = chosen;
  const dark = () => (own ?? (system.matches ? "dark" : "light")) === "dark";
  const apply = () => {
    if (own) document.documentElement.dataset.theme = own;
    button.setAttribute("aria-pressed", String(dark()));
    say(button, "Dark");
  };
  button.addEventListener("click", () => {
    own = dark() ? "light" : "dark";
    keep(own);
    apply();
  });
  system.addEventListener("change", apply);
  apply();
}
