/** The panels that stand beside their line (`details.flyout`): how they close. That one is open at a time, their `name` sees to. */

/** Where there is no room beside the line a panel is below it, covers nothing, and stays until its line is pressed. */
const BESIDE = matchMedia("(min-width: 62.01rem)");

/** Let Escape and a press outside of what they stand in close these panels; returns a function that closes them all. */
export function flyouts(panels) {
  const close = () => {
    for (const panel of panels) panel.open = false;
  };
  for (const panel of panels) {
    panel.addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      panel.open = false;
      panel.querySelector("summary").focus();
    });
  }
  document.addEventListener("pointerdown", (event) => {
    if (BESIDE.matches && !panels.some((panel) => panel.parentElement.contains(event.target))) close();
  });
  return close;
}
