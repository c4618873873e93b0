/** A list to pick from by mouse or with the arrows up and down: its [role=option]s are redrawn, and keep the focus. */

const STEPS = { ArrowDown: 1, ArrowUp: -1 };

/** draw(fill, listed): `picked(data)` is called with the dataset of the option; `listed`: there are options now. */
export function optionList(list, picked) {
  const options = () => [...list.querySelectorAll("[role=option]")];
  list.addEventListener("click", (event) => {
    const option = event.target.closest("[role=option]");
    if (option) picked({ ...option.dataset });
  });
  // A mouse click must not take the space bar and the arrows away from the view.
  list.addEventListener("pointerdown", (event) => {
    if (event.target.closest("[role=option]")) event.preventDefault();
  });
  list.addEventListener("keydown", (event) => {
    const all = options();
    const at = all.indexOf(event.target);
    if (at < 0 || !(event.key in STEPS)) return;
    event.preventDefault();
    const next = all[Math.min(Math.max(at + STEPS[event.key], 0), all.length - 1)];
    next.focus();
    picked({ ...next.dataset });
  });
  return {
    draw(fill, listed) {
      const held = list.contains(document.activeElement);
      fill();
      if (listed) list.setAttribute("role", "listbox");
      else list.removeAttribute("role");
      if (held && !list.contains(document.activeElement)) list.querySelector("[aria-selected=true]")?.focus();
    },
  };
}
