/** Who plays: a dialog to choose, add, rename and delete players, and to take away what is kept of them. */

import * as api from "../core/api.js";
import { fill, html, say, show } from "../ui/html.js";
import { DELETE, OF, SURE, UNNAMED, WHO, keptWords } from "./player_words.js";

const option = (one, now) =>
  html`<button type="button" data-player="${one.number}" aria-pressed="${one.number === now}">
    <b>${one.name}</b> <small>${keptWords(one)}</small>
  </button>`;

/** Whether nobody has said a name yet: the only player is the one the daemon thought up. */
const unnamed = (players) => players.length === 1 && players[0].runs === 0 && /^Player \d+$/.test(players[0].name);

/** draw(player); `now()` returns the seat shown. */
export function playersView(find, { now }) {
  const dialog = find("#players");
  let players = [];
  let refused = null;
  let sure = false;
  let named = null; // the player whose name is in the field

  const seated = () => players.find((one) => one.number === now().player.number) ?? null;

  async function attempt(action) {
    refused = null;
    try {
      await action();
      players = await api.players();
    } catch (error) {
      if (!(error instanceof api.Refused)) throw error;
      refused = error.message;
    }
    dialog.dispatchEvent(new Event("changed", { bubbles: true }));
  }

  /** The name in the field to change it: put there once, so that what is being typed stays. */
  function showName({ number, name }) {
    if (named === `${number} ${name}`) return;
    named = `${number} ${name}`;
    find("#player-rename input").value = name;
  }

  function open() {
    sure = false;
    named = null;
    showName(now().player); // before it can be typed over, and not when the list has come
    if (!dialog.open) dialog.showModal();
    attempt(() => {});
  }

  /** A form with one name in it: `act` gets the name, and the field is emptied if that went well. */
  function onName(form, act) {
    find(form).addEventListener("submit", (event) => {
      event.preventDefault();
      const field = find(`${form} input`);
      attempt(async () => {
        await act(field.value);
        if (form === "#player-add") field.value = "";
      });
    });
  }

  find("#players-open").addEventListener("click", open);
  find("#players-close").addEventListener("click", () => dialog.close());
  find("#players-list").addEventListener("click", (event) => {
    const chosen = event.target.closest("[data-player]");
    sure = false;
    if (chosen) attempt(() => api.sitDown(now().seat, Number(chosen.dataset.player)));
  });
  onName("#player-add", async (name) => {
    const added = await api.addPlayer(name);
    await api.sitDown(now().seat, added.number);
  });
  onName("#player-rename", (name) => api.renamePlayer(now().player.number, name));
  /** Ask whether it is meant, or no longer; the focus goes to the harmless button of those that are there then. */
  const ask = (asked) => () => {
    sure = asked;
    show(find("#player-delete"), !sure);
    show(find("#player-sure"), sure);
    find(sure ? "#player-keep" : "#player-delete").focus();
    dialog.dispatchEvent(new Event("changed", { bubbles: true }));
  };
  find("#player-delete").addEventListener("click", ask(true));
  find("#player-keep").addEventListener("click", ask(false));
  find("#player-gone").addEventListener("click", () => {
    const { number } = now().player;
    sure = false;
    attempt(() => api.deletePlayer(number));
  });

  return (seat) => {
    say(find("#players-open"), seat.player.name);
    if (!dialog.open) return;
    const { number, name } = seat.player;
    say(find("#players-said"), unnamed(players) ? UNNAMED : WHO);
    fill(find("#players-list"), html`${players.map((one) => option(one, number))}`);
    say(find("#player-name"), OF(name));
    showName(seat.player);
    find("#player-csv").href = `api/history/export?format=csv&player=${number}`;
    find("#player-json").href = `api/history/export?format=json&player=${number}`;
    say(find("#player-delete"), DELETE(name));
    const one = seated();
    show(find("#player-delete"), !sure);
    show(find("#player-sure"), sure && one !== null);
    if (one) say(find("#player-sure p"), SURE(name, keptWords(one)));
    show(find("#players-refused"), refused !== null);
    say(find("#players-refused span"), refused ?? "");
  };
}
