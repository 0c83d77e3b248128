// The answer beside the questions: the page's own parts, shown anew after each change.
/* global printAlone, showWorst */
import { Gone, Refused, get } from "./desk_ask.js";
import { showMap } from "./desk_map.js";
import { at, faultList, make } from "./desk_parts.js";
import { gone, known, load, tellNews } from "./desk_state.js";

const PARTS = ["beyond", "tools", "legend", "answer", "profile", "before", "way"];
const AS_BEFORE = "The headline and its figures are as before.";
const PAUSE_MS = 300;

const pause = (ms) => new Promise((done) => { setTimeout(done, ms); });

const asking = { number: 0, again: false, isBusy: false };

// Asks for the plan of the files as they are now; of several wishes at once the last is answered.
export async function askPlan() {
  asking.again = true;
  if (known.plan) at("desk-pending").textContent = "Worked out anew just now: what stands here is still from before.";
  if (asking.isBusy) return;
  asking.isBusy = true;
  try {
    while (asking.again) {
      asking.again = false;
      await askOnce();
    }
  } catch (error) {
    if (error instanceof Gone) gone();
    else if (error instanceof Refused) showNone(error.faults);
    else throw error;
  } finally {
    asking.isBusy = false;
  }
}

async function askOnce() {
  const plan = await get(`/api/plan?after=${asking.number}`);
  if (asking.again) return;
  if (plan.same) tellPending(known.plan);
  else {
    const hasBefore = Boolean(known.plan && known.plan.ready.plan);
    asking.number = plan.number;
    showPlan({ ...plan, change: hasBefore ? plan.change || AS_BEFORE : "" });
    followRest(plan.number);
  }
  await load("water");
}

// Mends and what goes wrong come later, unless a newer plan comes first.
async function followRest(number) {
  while (known.plan.number === number && known.plan.ready.plan && !known.plan.ready.mends) {
    try {
      const whole = await get(`/api/plan/mends?number=${number}`);
      if (known.plan.number !== number) return undefined;
      if (whole.ready && whole.ready.mends) showPlan({ ...known.plan, ...whole, change: known.plan.change });
      else if (whole.failed) return tellFailed(whole.failed);
      else if (whole.superseded) return undefined;
      else await pause(PAUSE_MS);
    } catch (error) {
      if (error instanceof Gone || error instanceof Refused) return undefined;
      throw error;
    }
  }
  return undefined;
}

function tellFailed(why) {
  at("desk-pending").textContent = `What goes wrong and what would mend it could not be worked out: ${why} There is no sheet to carry of this plan.`;
}

function showPlan(plan) {
  known.plan = plan;
  if (plan.ready.plan) showParts(plan);
  else showNone(plan.faults || []);
  at("desk-change").textContent = plan.ready.plan ? plan.change || "" : "";
  at("desk-see").dataset.plan = plan.number;
  tellPending(plan);
  tellNews("plan");
}

function tellPending({ ready }) {
  at("desk-pending").textContent = !ready.plan || ready.mends ? "" : "Still being worked out: what goes wrong, what would mend it, and the sheet to carry. Wait for them before you decide.";
}

function showParts(plan) {
  at("desk-faults").replaceChildren();
  const place = at("place") && at("place").value;
  for (const part of PARTS) replaceKept(at("shown-" + part), plan.html[part] || "");
  if (place) at("place").value = place;
  replaceMore(plan.ready.mends ? plan.html.more : "");
  headCells();
  for (const print of document.querySelectorAll("[data-print]")) print.addEventListener("click", () => printAlone(print.dataset.print));
  showWorst(document.querySelector(".chart-room"));
  showMap(plan);
  showStrip();
  at("desk-take").hidden = false;
}

// Nothing of an older plan stays beside the words that there is none.
function showNone(faults) {
  showFaults(faults);
  for (const part of PARTS) if (part !== "tools" && part !== "legend") at("shown-" + part).replaceChildren();
  replaceMore("");
  at("desk-map-part").hidden = true;
  at("desk-take").hidden = true;
  at("desk-strip").hidden = true;
}

function showFaults(faults) {
  const box = make("section", { class: "no-plan", "aria-labelledby": "desk-no-plan" }, make("h2", { id: "desk-no-plan", class: "say" }, "No plan yet"), faultList(faults));
  at("desk-faults").replaceChildren(box);
}

// On a narrow screen the answer stays in sight at the lower edge.
function showStrip() {
  const [answer, strip] = [at("answer"), at("desk-strip")];
  strip.hidden = !answer;
  if (!answer) return;
  strip.className = "strip-bar " + answer.className.split(" ").find((css) => css.startsWith("level-"));
  strip.textContent = at("answer-heading").textContent;
}

// The folded parts stand where the page has them, so that the sheet prints as it does there.
function replaceMore(html) {
  const holder = make("div");
  holder.innerHTML = html || ""; // the page's own markup
  const next = holder.firstElementChild || make("section", { id: "more", hidden: true });
  const old = at("more");
  keep(old, next, () => old.replaceWith(next));
}

function replaceKept(holder, html) {
  const next = make("div");
  next.innerHTML = html; // the page's own markup
  keep(holder, next, () => holder.replaceChildren(...next.childNodes));
}

// What somebody opened or closed stays so, and what has the focus keeps it.
function keep(old, next, swap) {
  const turned = new Map();
  for (const fold of old.querySelectorAll("details")) {
    if (fold.open !== (fold.dataset.was === "open")) turned.set(keyOf(fold), fold.open);
  }
  for (const fold of next.querySelectorAll("details")) {
    fold.dataset.was = fold.open ? "open" : "";
    if (turned.has(keyOf(fold))) fold.open = turned.get(keyOf(fold));
  }
  const focused = old.contains(document.activeElement) && document.activeElement;
  const key = focused && keyOf(focused);
  const again = key && [...next.querySelectorAll(focused.localName)].find((one) => keyOf(one) === key);
  swap();
  if (again) again.focus({ preventScroll: true });
}

// Which of its kind an element is in the nearest part that has an id.
function keyOf(thing) {
  const holder = thing.closest("[id]");
  const place = holder && holder !== thing ? [...holder.querySelectorAll(thing.localName)].indexOf(thing) : 0;
  return [thing.localName, holder ? holder.id : "", place].join(" ");
}

// On a narrow screen each cell of a table stands under its own heading.
function headCells() {
  for (const table of document.querySelectorAll("table.stacks")) {
    const heads = [...table.querySelectorAll("thead th")].map((head) => head.textContent + " ");
    for (const row of table.querySelectorAll("tbody tr")) {
      [...row.children].forEach((cell, place) => { cell.dataset.head = heads[place] || ""; });
    }
  }
}
