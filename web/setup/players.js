/** Who plays: a dialog to choose, add, rename and delete players, and to take away what is kept of them. */

import * as api from "../core/api.js";
import { fill, html, say, show } from "../ui/html.js";
import { DELETE, OF, SURE, UNNAMED, WHO, keptWords } from "./player_words.js";

const option = (one, now) =>
  html`<button type="button" data-person="${one.number}" aria-pressed="${one.number === now}">
    <b>${one.name}</b> <small>${keptWords(one)}</small>
  </button>`;

/** Whether nobody has said a name yet: the only player is the one the daemon thought up. */
const unnamed = (people) => people.length === 1 && people[0].runs === 0 && /^Player \d+$/.test(people[0].name);

/** draw(player); `now()` returns the seat shown. */
export function peopleView(find, { now }) {
  const dialog = find("#people");
  let people = [];
  let refused = null;
  let sure = false;
  let named = null; // whose name stands in the field

  const seated = () => people.find((one) => one.number === now().person.number) ?? null;

  async function attempt(action) {
    refused = null;
    try {
      await action();
      people = await api.people();
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
    find("#person-rename input").value = name;
  }

  function open() {
    sure = false;
    named = null;
    showName(now().person); // before it can be typed over, and not when the list has come
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
        if (form === "#person-add") field.value = "";
      });
    });
  }

  find("#people-open").addEventListener("click", open);
  find("#people-close").addEventListener("click", () => dialog.close());
  find("#people-list").addEventListener("click", (event) => {
    const chosen = event.target.closest("[data-person]");
    sure = false;
    if (chosen) attempt(() => api.sitDown(now().player, Number(chosen.dataset.person)));
  });
  onName("#person-add", async (name) => {
    const added = await api.addPerson(name);
    await api.sitDown(now().player, added.number);
  });
  onName("#person-rename", (name) => api.renamePerson(now().person.number, name));
  /** Ask whether it is meant, or no longer; the focus goes to the harmless button of those that are there then. */
  const ask = (asked) => () => {
    sure = asked;
    show(find("#person-delete"), !sure);
    show(find("#person-sure"), sure);
    find(sure ? "#person-keep" : "#person-delete").focus();
    dialog.dispatchEvent(new Event("changed", { bubbles: true }));
  };
  find("#person-delete").addEventListener("click", ask(true));
  find("#person-keep").addEventListener("click", ask(false));
  find("#person-gone").addEventListener("click", () => {
    const { number } = now().person;
    sure = false;
    attempt(() => api.deletePerson(number));
  });

  return (player) => {
    say(find("#people-open"), player.person.name);
    if (!dialog.open) return;
    const { number, name } = player.person;
    say(find("#people-said"), unnamed(people) ? UNNAMED : WHO);
    fill(find("#people-list"), html`${people.map((one) => option(one, number))}`);
    say(find("#person-name"), OF(name));
    showName(player.person);
    find("#person-csv").href = `api/history/export?format=csv&person=${number}`;
    find("#person-json").href = `api/history/export?format=json&person=${number}`;
    say(find("#person-delete"), DELETE(name));
    const one = seated();
    show(find("#person-delete"), !sure);
    show(find("#person-sure"), sure && one !== null);
    if (one) say(find("#person-sure p"), SURE(name, keptWords(one)));
    show(find("#people-refused"), refused !== null);
    say(find("#people-refused span"), refused ?? "");
  };
}
