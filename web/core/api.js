/** What the page asks of the daemon. A refusal is thrown as Refused, with the daemon's own words. */

import { jsonLines } from "./lines.js";

/** Where the daemon's addresses begin, whichever page this is. */
const ROOT = new URL("../../", import.meta.url);

const NOT_SENT = "The daemon does not answer, so nothing was changed. Is it still running?";

/** The daemon said no, or did not answer; the message is fit to be shown as it is. */
export class Refused extends Error {
  /** Each mistake with its place, {where, field, said}, where the daemon knows the place. */
  mistakes = [];
}

async function send(method, path, body, signal) {
  const file = body instanceof Blob;
  const headers = body === undefined || file ? {} : { "content-type": "application/json" };
  let answer;
  try {
    answer = await fetch(new URL(path, ROOT), { method, headers, body: body === undefined || file ? body : JSON.stringify(body), signal });
  } catch (error) {
    throw new Refused(NOT_SENT, { cause: error });
  }
  if (answer.ok) return answer;
  const refusal = await answer.json().catch(() => null);
  const refused = new Refused(refusal?.said ?? `The daemon refused (${answer.status}) and did not say why.`);
  throw Object.assign(refused, { mistakes: refusal?.mistakes ?? [] });
}

const ask = async (method, path, body) => (await send(method, path, body)).json().catch(() => null);
const query = (fields) => new URLSearchParams(Object.entries(fields).filter(([, value]) => value !== null));

const whose = (seat) => `seat=${encodeURIComponent(seat)}`;

/** How to get to each seat over the network, and a new code for one. */
export const ways = () => ask("GET", "../api/ways");
export const renewWay = (seat) => ask("POST", `../api/ways/${encodeURIComponent(seat)}`);
export const status = () => ask("GET", "api/status");
export const report = (asked) => ask("GET", `api/report?${query(asked)}`);
export const progress = (asked) => ask("GET", `api/progress?${query(asked)}`);
/** The JSON Schema of all frames; index.html has the browser fetch it early. */
export const frameSchema = () => ask("GET", "frames.schema.json");
export const state = () => ask("GET", "api/state");
export const found = (words) => ask("GET", `api/found?${query({ words })}`);
export const drills = () => ask("GET", "api/drills");
export const inputs = () => ask("GET", "api/inputs");
export const startPractice = (seat, wanted) =>
  ask("POST", "api/practice", {
    seat,
    drill: wanted.drill,
    click_bpm: wanted.climbs ? wanted.rule.first_bpm : wanted.click_bpm,
    ...(wanted.climbs ? { ladder: wanted.rule } : {}),
    ...(wanted.standard ? { standard: wanted.standard } : {}),
    ...(wanted.layout ? { layout: wanted.layout } : {}),
    ...(wanted.feedback && !wanted.climbs ? { feedback: wanted.feedback } : {}),
    ...(wanted.click_off && !wanted.climbs ? { click_off: true } : {}),
    ...(wanted.spread === null ? {} : { spread: wanted.spread }),
  });
/** The drill that the player keeps repeating, on their own beat. */
export const startOffered = (seat) => ask("POST", "api/offer", { seat });
/** What is in a recording. */
export const listen = (file) => ask("POST", `api/listen?${query({ name: file.name })}`, file);
/** Keep what is in a recording as runs of the player at a seat: [{kind, run, start_ms}]. */
export const keepTake = (seat, file) => ask("POST", `api/listen/keep?${query({ name: file.name, seat, ended_ms: file.lastModified })}`, file);
/** `wish` is what of the tune, and how: {from, to} or {ornament, width, stage}, {ladder} or {widen}, {feedback}. */
export const startTuneRun = (seat, tune, click_bpm, wish) => ask("POST", "api/practice", { seat, tune, click_bpm, ...wish });
export const stopPractice = (seat) => ask("DELETE", `api/practice?${whose(seat)}`);
export const guess = (seat, rep, word) => ask("POST", "api/guess", { seat, rep, guess: word });
export const takeInput = (seat, input) => ask("POST", "api/input", { seat, input });
export const klass = () => ask("GET", "api/class");
export const startClass = (called) => ask("POST", "api/class", called);
export const stopClass = () => ask("DELETE", "api/class");
export const freezeWall = (frozen) => ask("POST", "api/class/freeze", { frozen });
export const playAlone = (seat) => ask("POST", "api/class/alone", { seat });
export const spotlight = (seat) => ask("POST", "api/class/spotlight", { seat });
export const replayRep = (seat, factor = 2) => ask("POST", "api/class/replay", { seat, factor });
export const soundAt = (sound) => ask("POST", "api/class/sound", { sound });
/** Whether a player's reps of a class are kept: {seat, keep}. */
export const keptSeat = (seat) => ask("GET", `api/class/keep?${whose(seat)}`);
export const keepSeat = (seat, keep) => ask("POST", "api/class/keep", { seat, keep });
export const classes = () => ask("GET", "api/classes");
export const classSummary = (number) => ask("GET", `api/classes/${number}`);
export const classReport = (number) => new URL(`api/classes/${number}/report.pdf`, ROOT).href;
export const forgetClass = (number) => ask("DELETE", `api/classes/${number}`);
export const measureSeats = (seat) => ask("POST", "api/class/measure", { seat });
export const placeSeat = (seat, distance_m) => ask("POST", "api/class/place", { seat, distance_m });
export const arrangeWall = (arranged) => ask("POST", "api/wall", arranged);
export const addSeat = (input) => ask("POST", "api/seats", { input });
export const removeSeat = (seat) => ask("DELETE", `api/seats/${encodeURIComponent(seat)}`);
export const takeProfile = (seat, profile) => ask("POST", "api/chanter", { seat, profile });
export const startLearning = (seat) => ask("POST", "api/learning", { seat });
export const stopLearning = (seat) => ask("DELETE", `api/learning?${whose(seat)}`);
export const startCalibration = (seat) => ask("POST", "api/calibration", { seat });
export const stopCalibration = (seat) => ask("DELETE", `api/calibration?${whose(seat)}`);
export const players = () => ask("GET", "api/players");
export const addPlayer = (name) => ask("POST", "api/players", { name });
export const renamePlayer = (number, name) => ask("POST", `api/players/${number}`, { name });
export const deletePlayer = (number) => ask("DELETE", `api/players/${number}`);
export const sitDown = (seat, player) => ask("POST", "api/seat", { seat, player });
export const proposal = (seat) => ask("GET", `api/proposal?${whose(seat)}`);
export const refuseProposed = (seat, drill, week) => ask("POST", "api/proposal/refused", { seat, drill, week });
export const proposeAgain = (seat) => ask("DELETE", `api/proposal/refused?${whose(seat)}`);
export const startProposed = (seat) => ask("POST", "api/proposal/session", { seat });
/** How many runs are asked for at a time: as many as the daemon gives. */
export const RUNS = 500;
/** Runs of a person, the newest first; `before`: a run, and only older ones. */
export const runs = (player, before) =>
  ask("GET", `api/history/runs?${query({ player, most: RUNS, ...(before ? { before: before.run } : {}) })}`);
export const run = (number) => ask("GET", `api/history/runs/${number}`);
export const deleteRun = (number) => ask("DELETE", `api/history/runs/${number}`);
/** Runs of a person with nothing chosen, the newest first; `before`: a run, and only older ones. */
export const freeRuns = (player, before) =>
  ask("GET", `api/history/free?${query({ player, most: RUNS, ...(before ? { before: before.run } : {}) })}`);
export const freeRun = (number) => ask("GET", `api/history/free/${number}`);
export const deleteFreeRun = (number) => ask("DELETE", `api/history/free/${number}`);
export const takeOfFree = (number) => `api/history/free/${number}/take.mid`;
export const takeOf = (number) => `api/history/runs/${number}/take.mid`;
/** Runs of a person through tunes, in the same way. */
export const tuneRuns = (player, before) =>
  ask("GET", `api/history/tunes?${query({ player, most: RUNS, ...(before ? { before: before.run } : {}) })}`);
/** One with all that was judged: {run, result, notes, same, said}. */
export const tuneRun = (number) => ask("GET", `api/history/tunes/${number}`);
/** As it sounded: {notes, clicks, end_s, begins_s}. */
export const tuneRunHeard = (number) => ask("GET", `api/history/tunes/${number}/heard`);
export const deleteTuneRun = (number) => ask("DELETE", `api/history/tunes/${number}`);
export const takeOfTune = (number) => `api/history/tunes/${number}/take.mid`;
export const book = () => ask("GET", "api/book");
/** With a seat: as the player there plays it, whose beat may be where another school has it. */
export const drill = (words, seat) => ask("GET", `api/drill?${query({ words, ...(seat ? { seat } : {}) })}`);
/** The player at that seat puts the beat of the drill's ornament where the drill has it. */
export const placeBeat = (seat, drill) => ask("POST", "api/placement", { seat, drill });
export const tunings = () => ask("GET", "api/tunings");
export const timetable = (asked) => ask("GET", `api/timetable?${query(asked)}`);
export const staff = async (words) => (await send("GET", `api/staff?${query({ drill: words })}`)).text();
const tuneAt = (key) => `api/tunes/${encodeURIComponent(key)}`;
export const tunes = () => ask("GET", "api/tunes");
export const tune = (key) => ask("GET", tuneAt(key));
/** How each ornament of a tune goes for the player at a seat; what most needs work is first. */
export const tuneMastery = (key, seat) => ask("GET", `${tuneAt(key)}/mastery?${query({ seat })}`);
/** A part of a tune in staff notation, counted from 1, in rows of that many staff spaces. */
export const tuneStaff = async (key, part, width) => (await send("GET", `${tuneAt(key)}/staff?${query({ part, width })}`)).text();
/** When each note of a passage sounds at a tempo, repeats unfolded: {notes: [{at_s, note, place}], clicks, end_s}. */
export const heardTune = (key, first, last, click_bpm) => ask("GET", `${tuneAt(key)}/heard?${query({ first, last, click_bpm })}`);
export const addTune = (file) => ask("POST", `api/tunes?${query({ name: file.name })}`, file);
/** A plan of a tune's ornaments, the worst first. */
export const startTune = (seat, key) => ask("POST", `${tuneAt(key)}/session`, { seat });
/** The tunes that the player at a seat works on: [{tune, performance}]; the day may be null. */
export const repertoire = (seat) => ask("GET", `api/repertoire?${query({ seat })}`);
export const workOn = (seat, tune, performance) => ask("POST", "api/repertoire", { seat, tune, performance });
export const leaveTune = (seat, tune) => ask("DELETE", `api/repertoire?${query({ seat, tune })}`);
export const deleteTune = (key) => ask("DELETE", tuneAt(key));
export const plans = () => ask("GET", "api/plans");
/** A plan as it is written, to be changed or copied: {key, own, version, plan}. */
export const plan = (key) => ask("GET", `api/plans/${encodeURIComponent(key)}`);
export const addPlan = (plan) => ask("POST", "api/plans", { plan });
export const changePlan = (key, version, plan) => ask("PUT", `api/plans/${encodeURIComponent(key)}`, { plan, version });
export const deletePlan = (key, version) => ask("DELETE", `api/plans/${encodeURIComponent(key)}?${query({ version })}`);
export const startPlan = (seat, plan) => ask("POST", "api/session", { seat, plan });
export const pausePlan = (seat) => ask("POST", `api/session/pause?${whose(seat)}`);
export const goOn = (seat) => ask("POST", `api/session/go-on?${whose(seat)}`);
export const skipPart = (seat) => ask("POST", `api/session/skip?${whose(seat)}`);
export const stopPlan = (seat) => ask("DELETE", `api/session?${whose(seat)}`);

/** The PDF of a sheet; `progress({done, of})` is called as it is made, and the signal gives it up. */
export async function sheet(asked, progress, signal) {
  const answer = await send("POST", "api/sheet/progress", asked, signal);
  try {
    for await (const line of jsonLines(answer.body)) {
      if ("pdf" in line) return new Blob([Uint8Array.from(atob(line.pdf), (sign) => sign.charCodeAt(0))], { type: "application/pdf" });
      if ("said" in line) throw new Refused(line.said);
      progress(line);
    }
  } catch (error) {
    if (error instanceof Refused) throw error;
    throw new Refused(NOT_SENT, { cause: error });
  }
  throw new Refused(NOT_SENT);
}
