/**
 * Enters with a code: the one in the address, as a QR code has it, or one that is typed.
 *
 * This page loads for everybody on the network, so it needs nothing that is not its own.
 */

const NOT_REACHED = "chanterd does not answer. Check that you are on the same network, then try again.";
const WRONG = "This code opens nothing. Check it letter by letter, or ask your teacher for a new one.";

const form = document.querySelector("#enter");
const field = document.querySelector("#code");
const said = document.querySelector("#said");

const sendCode = (code) =>
  fetch("/api/enter", {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ code }),
  });

/** What a refusal says; null if the code was right. */
async function enter(code) {
  try {
    const answer = await sendCode(code);
    if (answer.status === 403) return WRONG;
    if (!answer.ok) return (await answer.json()).said;
    const { page } = await (await fetch("/api/grant")).json();
    location.replace(page); // in place of this address, so that no code stays in the history
    return null;
  } catch (error) {
    console.warn(error);
    return NOT_REACHED;
  }
}

async function tryIt() {
  const button = form.querySelector("button");
  button.disabled = true;
  said.textContent = "";
  const refusal = await enter(field.value);
  if (refusal === null) return;
  button.disabled = false;
  said.textContent = refusal;
  field.focus();
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  tryIt();
});

const given = new URLSearchParams(location.search).get("code");
if (given) {
  field.value = given;
  history.replaceState(null, "", "/enter");
  tryIt();
}
