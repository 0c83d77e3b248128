// The desk begins: what is in the folder, the questions, the plan beside them, and what others change.
import { Gone, Refused, get, note, seen } from "./desk_ask.js";
import { askAfter, lookAfter } from "./desk_after.js";
import { takeIn, watchDrops } from "./desk_files.js";
import { onPlaces, showBackdrop, whereIs } from "./desk_map.js";
import { at, make, name } from "./desk_parts.js";
import { askPlan } from "./desk_plan.js";
import { markSource, openSource } from "./desk_source.js";
import { alarm, back, gone, known, load, onNews, tellFaults, tellNews } from "./desk_state.js";
import { askTake } from "./desk_take.js";
import { addCamp, askTrip } from "./desk_trip.js";
import { askWater } from "./desk_water.js";
import { askWay, choose, chooseToo } from "./desk_way.js";

const WATCH_MS = 2000;
const NARROW = "(max-width: 62rem)";

async function begin() {
  askWay();
  askWater();
  askTrip();
  askTake();
  askAfter();
  onPlaces({ mark: markSource, camp: campAt, open: openSource });
  onNews("folder", showFolder);
  let backdrop = "[]";
  onNews("plan", () => {
    const wanted = JSON.stringify(known.folder.choice.backdrop || []);
    if (!known.plan.ready.plan || wanted === backdrop) return;
    backdrop = wanted;
    showBackdrop().catch(tellFaults);
  });
  watchDrops(onFile);
  try {
    await load("folder", "trip");
  } catch (error) {
    if (error instanceof Refused) alarm(...error.faults.map((fault) => fault.sentence));
    else gone();
    at("desk-bench").hidden = false;
    return;
  }
  openFirst();
  setInterval(watch, WATCH_MS);
  onNews("changed", askPlan);
  await askPlan();
}

function showFolder() {
  const { folder } = known;
  const isEmpty = !folder.choice.route;
  document.title = `${folder.name}: desk`;
  at("desk-name").replaceChildren(name(folder.name));
  at("desk-path").replaceChildren("All of it is kept in plain files in ", name(folder.path));
  const wasEmpty = !at("desk-start").hidden;
  at("desk-start").hidden = !isEmpty;
  at("desk-bench").hidden = isEmpty;
  (isEmpty ? at("desk-start") : document.querySelector(".questions")).prepend(at("desk-told"));
  (isEmpty ? at("desk-start-heading") : at("desk-pending")).after(at("desk-faults"));
  at("desk-left-out").replaceChildren(...folder.left_out.map((words) => make("p", {}, words)));
  if (!isEmpty && wasEmpty) openFirst();
}

// What is still missing stands open; on a narrow screen nothing does, so that the answer is near.
function openFirst() {
  if (!matchMedia(NARROW).matches) at("ask-water").open = true;
}

async function campAt(place) {
  if (place.km !== undefined) return addCamp(place.km);
  const where = await whereIs(place).catch(tellFaults);
  return where && addCamp(where.km.toFixed(1));
}

function onFile(file, as) {
  const then = {
    route: (route) => choose({ route, tracks: [] }),
    water: chooseToo,
    backdrop: (map) => choose({ backdrop: [map] }),
    tally: lookAfter,
  };
  return takeIn(file, as, then[as]);
}

// Looks every two seconds whether somebody else has changed a file; what they wrote is shown, never overwritten.
async function watch() {
  if (seen.busy) return;
  const before = seen.changes;
  try {
    const folder = await get("/api/folder");
    back();
    if (seen.busy || seen.changes !== before) return;
    const changed = Object.keys({ ...folder.versions, ...seen.versions }).filter((file) => folder.versions[file] !== seen.versions[file]);
    note(folder);
    if (!changed.length) return;
    alarm(`Changed outside this page: ${changed.join(", ")}. What stands there now has been read anew, and nothing was overwritten.`);
    tellNews("changed");
    await load("folder", "trip");
  } catch (error) {
    if (error instanceof Gone) gone();
    else if (!(error instanceof Refused)) throw error;
  }
}

begin();
