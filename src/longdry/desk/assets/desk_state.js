// What the page knows of the folder; how a change is sent and told; who is told of news.
import { Gone, Refused, get, note, post, put, seen } from "./desk_ask.js";
import { at, button, faultList, make } from "./desk_parts.js";

export const known = { folder: null, water: null, trip: null, plan: null };

const news = new EventTarget();

export const onNews = (what, act) => news.addEventListener(what, act);
export const tellNews = (what) => news.dispatchEvent(new Event(what));

export async function load(...parts) {
  await Promise.all(parts.map(async (part) => {
    known[part] = await get("/api/" + part);
    if (part === "folder") note(known.folder);
    tellNews(part);
  }));
}

// Sends a change made on the version that this page shows; tells what was done, with a way back.
// A body that is a function is called when its turn comes, on what the change before has left.
export function change(path, body, file) {
  const made = () => (typeof body === "function" ? body() : body);
  return settled(() => post(path, { version: file ? seen.versions[file] ?? "" : null, ...made() }), file, "");
}

// With the version of the file that it takes the place of, where there is one of its name.
export function bringFile(file, as, version) {
  const instead = version ? "&version=" + version : "";
  return settled(() => put(`/api/files/${encodeURIComponent(file.name)}?as=${as}${instead}`, file), null, `${file.name} is in the folder now.`);
}

let last = Promise.resolve();

// One change after another, each on the versions that the one before has left.
function settled(act, file, words) {
  const next = last.then(() => settledAlone(act, file, words));
  last = next.catch(() => {});
  return next;
}

// The plan is asked for at once; until the folder is known anew, no change counts as somebody else's.
async function settledAlone(act, file, words) {
  seen.busy += 1;
  at("desk-done").replaceChildren("Writing …");
  try {
    const answer = await act();
    tellNews("changed");
    await load("folder", "trip");
    calm();
    done(words || doneWords(answer, file), file);
    return answer;
  } catch (error) {
    await refused(error);
    throw error;
  } finally {
    seen.busy -= 1;
    seen.changes += 1;
  }
}

function doneWords(answer, file) {
  if (answer.written) return `Saved in the folder: ${answer.written.join(", ")}.`;
  if (!answer.files && answer.notes && answer.notes.length) return answer.notes.join(" ");
  return file ? `Written into ${file}.` : "Done.";
}

// A file that somebody else has changed is shown as it is now, and what was typed is not written.
async function refused(error) {
  at("desk-done").replaceChildren();
  if (error instanceof Gone) return gone();
  if (!(error instanceof Refused)) return alarm(String(error));
  if (!error.isOld) return undefined;
  alarm(...error.faults.map((fault) => fault.sentence), "The newer file is shown now: look at it, then do it again if it is still right.");
  tellNews("changed");
  return load("folder", "trip");
}

export function done(words, file) {
  const back = file && seen.undo[file] ? [" ", button("Undo", () => undo(file), { "aria-label": "Undo: " + words })] : [];
  at("desk-done").replaceChildren(words, ...back);
}

// A way back that stays, beside the file that it is about.
export function undoLine(file) {
  const count = seen.undo[file];
  return count ? make("p", { class: "q" }, button("Undo the last change of " + file, () => undo(file), { class: "small" }), ` ${count} kept`) : "";
}

async function undo(file) {
  await change("/api/undo", { file }, file).catch(tellFaults);
}

// For what has no field of its own to be told at.
export function tellFaults(error) {
  if (error instanceof Refused && !error.isOld) at("desk-alarm").replaceChildren(faultList(error.faults), closer());
}

export function alarm(...sentences) {
  at("desk-alarm").replaceChildren(...sentences.map((words) => make("p", {}, words)), closer());
}

const closer = () => button("I have read this", calm, { class: "small" });

const calm = () => at("desk-alarm").replaceChildren();

let isGone = false;

export function gone() {
  if (isGone) return;
  isGone = true;
  alarm("The desk has ended, or this computer is too busy to answer. Nothing is lost: all is in the files of the folder. Start it again and open its new link.");
}

// It answers again.
export function back() {
  if (isGone) calm();
  isGone = false;
}
