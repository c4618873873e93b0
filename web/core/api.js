/** What the page asks of the daemon. A refusal is thrown as Refused, with the daemon's own words. */

import { jsonLines } from "./lines.js";
import { NOT_SENT } from "../ui/words.js";

/** The daemon said no, or did not answer; the message is fit to be shown as it is. */
export class Refused extends Error {}

async function send(method, path, body, signal) {
  const headers = body === undefined ? {} : { "content-type": "application/json" };
  let answer;
  try {
    answer = await fetch(path, { method, headers, body: body === undefined ? undefined : JSON.stringify(body), signal });
  } catch (error) {
    throw new Refused(NOT_SENT, { cause: error });
  }
  if (answer.ok) return answer;
  const told = await answer.json().catch(() => null);
  throw new Refused(told?.said ?? `The daemon refused (${answer.status}) and did not say why.`);
}

const ask = async (method, path, body) => (await send(method, path, body)).json().catch(() => null);
const query = (fields) => new URLSearchParams(Object.entries(fields).filter(([, value]) => value !== null));

const whose = (player) => `player=${encodeURIComponent(player)}`;

export const status = () => ask("GET", "api/status");
export const report = (asked) => ask("GET", `api/report?${query(asked)}`);
export const progress = (asked) => ask("GET", `api/progress?${query(asked)}`);
export const state = () => ask("GET", "api/state");
export const drills = () => ask("GET", "api/drills");
export const inputs = () => ask("GET", "api/inputs");
export const startPractice = (player, wanted) =>
  ask("POST", "api/practice", {
    player,
    drill: wanted.drill,
    click_bpm: wanted.climbs ? wanted.rule.first_bpm : wanted.click_bpm,
    ...(wanted.climbs ? { ladder: wanted.rule } : {}),
    ...(wanted.standard ? { standard: wanted.standard } : {}),
    ...(wanted.layout ? { layout: wanted.layout } : {}),
    ...(wanted.feedback && !wanted.climbs ? { feedback: wanted.feedback } : {}),
    ...(wanted.click_off && !wanted.climbs ? { click_off: true } : {}),
    ...(wanted.spread === null ? {} : { spread: wanted.spread }),
  });
export const stopPractice = (player) => ask("DELETE", `api/practice?${whose(player)}`);
export const guess = (player, rep, word) => ask("POST", "api/guess", { player, rep, guess: word });
export const takeInput = (player, input) => ask("POST", "api/input", { player, input });
export const takeProfile = (player, profile) => ask("POST", "api/chanter", { player, profile });
export const startLearning = (player) => ask("POST", "api/learning", { player });
export const stopLearning = (player) => ask("DELETE", `api/learning?${whose(player)}`);
export const startCalibration = (player) => ask("POST", "api/calibration", { player });
export const stopCalibration = (player) => ask("DELETE", `api/calibration?${whose(player)}`);
export const people = () => ask("GET", "api/players");
export const addPerson = (name) => ask("POST", "api/players", { name });
export const renamePerson = (number, name) => ask("POST", `api/players/${number}`, { name });
export const deletePerson = (number) => ask("DELETE", `api/players/${number}`);
export const sitDown = (player, person) => ask("POST", "api/seat", { player, person });
export const proposal = (player) => ask("GET", `api/proposal?${whose(player)}`);
export const refuseProposed = (player, drill, week) => ask("POST", "api/proposal/refused", { player, drill, week });
export const proposeAgain = (player) => ask("DELETE", `api/proposal/refused?${whose(player)}`);
export const startProposed = (player) => ask("POST", "api/proposal/session", { player });
/** How many runs are asked for at a time: as many as the daemon gives. */
export const RUNS = 500;
/** Runs of a person, the newest first; `before`: a run, and only older ones. */
export const runs = (person, before) =>
  ask("GET", `api/history/runs?${query({ person, most: RUNS, ...(before ? { before: before.run } : {}) })}`);
export const run = (number) => ask("GET", `api/history/runs/${number}`);
export const deleteRun = (number) => ask("DELETE", `api/history/runs/${number}`);
export const takeOf = (number) => `api/history/runs/${number}/take.mid`;
export const book = () => ask("GET", "api/book");
export const drill = (words) => ask("GET", `api/drill?${query({ words })}`);
export const tunings = () => ask("GET", "api/tunings");
export const timetable = (asked) => ask("GET", `api/timetable?${query(asked)}`);
export const staff = async (words) => (await send("GET", `api/staff?${query({ drill: words })}`)).text();
export const plans = () => ask("GET", "api/plans");
export const startPlan = (player, plan) => ask("POST", "api/session", { player, plan });
export const pausePlan = (player) => ask("POST", `api/session/pause?${whose(player)}`);
export const goOn = (player) => ask("POST", `api/session/go-on?${whose(player)}`);
export const skipPart = (player) => ask("POST", `api/session/skip?${whose(player)}`);
export const stopPlan = (player) => ask("DELETE", `api/session?${whose(player)}`);

/** The PDF of a sheet; `told({done, of})` is called as it is made, and the signal gives it up. */
export async function sheet(asked, told, signal) {
  const answer = await send("POST", "api/sheet/told", asked, signal);
  try {
    for await (const line of jsonLines(answer.body)) {
      if ("pdf" in line) return new Blob([Uint8Array.from(atob(line.pdf), (sign) => sign.charCodeAt(0))], { type: "application/pdf" });
      if ("said" in line) throw new Refused(line.said);
      told(line);
    }
  } catch (error) {
    if (error instanceof Refused) throw error;
    throw new Refused(NOT_SENT, { cause: error });
  }
  throw new Refused(NOT_SENT);
}
