/** What the controls of the practice view do when they are used. */

/**
 * Listen to them: `wish` wants something else to be played, `set` keeps a setting of this browser, `toggle` starts and
 * stops, `placeBeat` puts the beat of the ornament elsewhere, `guess` answers what is asked about a rep, `nudge` and `typedTempo` change the tempo.
 */
export function wireControls(find, { toggle, nudge, typedTempo, wish, placeBeat, set, guess, advised, settings }) {
  find("#beats").addEventListener("change", (event) => typedTempo(event.target, "beats"));
  find("#beats-form").addEventListener("submit", (event) => {
    event.preventDefault();
    find("#beats").blur();
  });
  find("#to-beat").addEventListener("change", (event) => set({ to_beat: Number(event.target.value) }));
  find("#speak").checked = settings.speak;
  find("#speak").addEventListener("change", (event) => set({ speak: event.target.checked }));
  find("#toggle").addEventListener("click", toggle);
  find("#title").addEventListener("click", () => {
    const field = find("#drill");
    field.focus();
    field.select();
    field.click();
  });
  for (const id of ["#run-summary", "#rep-detail"]) {
    find(id).addEventListener("click", (event) => {
      const chosen = event.target.closest("[data-practise]");
      if (chosen) advised(chosen.dataset);
    });
  }
  find("#slower").addEventListener("click", () => nudge(-4));
  find("#faster").addEventListener("click", () => nudge(4));
  find("#tempo").addEventListener("change", (event) => typedTempo(event.target, "clicks"));
  find("#tempo-form").addEventListener("submit", (event) => {
    event.preventDefault();
    find("#tempo").blur();
  });
  find("#standard").addEventListener("change", (event) => wish({ standard: event.target.value }));
  find("#layout").addEventListener("change", (event) => wish({ layout: event.target.value }));
  find("#beat-place").addEventListener("change", (event) => placeBeat(event.target.value));
  find("#click-off").addEventListener("change", (event) => wish({ click_off: event.target.checked }));
  find("#feedback").addEventListener("change", (event) => wish({ feedback: event.target.value }));
  find("#guess").addEventListener("click", (event) => {
    const button = event.target.closest("[data-guess]");
    if (button) guess(button.dataset.guess);
  });
  find("#spread").addEventListener("input", (event) => wish({ spread: Number(event.target.value) / 100 }));
  find("#stages").addEventListener("click", (event) => {
    const stage = event.target.closest("[data-drill]");
    if (stage) wish({ drill: stage.dataset.drill });
  });
  const volume = find("#volume");
  const sayVolume = () => volume.setAttribute("aria-valuetext", `${Math.round(100 * Number(volume.value))} %`);
  volume.value = settings.volume;
  sayVolume();
  volume.addEventListener("input", () => {
    sayVolume();
    set({ volume: Number(volume.value) });
  });
  find("#accent").checked = settings.accent;
  find("#accent").addEventListener("change", (event) => set({ accent: event.target.checked }));
  // A mouse click must not take the space bar away from start and stop: only the keyboard moves the focus to these.
  for (const id of ["#slower", "#faster", "#theme"])
    find(id).addEventListener("pointerdown", (event) => event.preventDefault());
}
