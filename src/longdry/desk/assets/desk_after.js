// The last question: what was found. Each visit and each new source is offered, and taken one by one.
import { Refused, post } from "./desk_ask.js";
import { chooseFile, takeIn } from "./desk_files.js";
import { at, button, counted, faultList, make, name, quiet, refill, showAsk } from "./desk_parts.js";
import { change, known, onNews } from "./desk_state.js";
import { filesOf } from "./desk_way.js";

export function askAfter() {
  onNews("folder", show);
}

function show() {
  if (at("after-offers")) return refill(at("after-files"), files());
  return refill(at("ask-after-in"), quiet("The tally that the page on the phone saved (its name ends in .tally.json), or the GPX that was recorded. Each thing that it tells is offered; nothing is written before you take it."),
    button("Choose the tally or the recorded GPX", () => chooseFile((file) => takeIn(file, "tally", lookAfter)), { class: "main", id: "after-choose" }),
    make("div", { id: "after-files" }, files()), make("div", { id: "after-offers", tabindex: "-1" }));
}

function files() {
  const found = filesOf("tally");
  return found.length ? make("ul", { class: "stack" }, ...found.map((file) => make("li", {}, button(file, () => lookAfter(file))))) : "";
}

export async function lookAfter(file) {
  showAsk("ask-after");
  const box = at("after-offers");
  try {
    const { offers, notes } = await post("/api/after/look", { file });
    box.replaceChildren(make("h3", {}, name(file)), ...(notes || []).map((words) => quiet(words)), make("p", { role: "status", id: "after-count" }, leftWords(offers.length)),
      make("ul", { class: "offers" }, ...offers.map((offer) => offerItem(file, offer))));
    box.focus({ preventScroll: true });
  } catch (error) {
    if (error instanceof Refused) box.replaceChildren(faultList(error.faults));
  }
}

const leftWords = (count) => (count ? counted(count, "thing") + " to look at" : "Nothing more to look at.");

function offerItem(file, offer) {
  const item = make("li", {}, make("b", {}, offer.kind === "visit" ? "Visit: " : "New source: "), make("bdi", { class: "name" }, offer.words), " ");
  const next = () => (item.nextElementSibling || item.previousElementSibling || at("after-choose"));
  const leave = () => {
    const to = next();
    item.remove();
    at("after-count").textContent = leftWords(document.querySelectorAll(".offers li").length);
    (to.querySelector("button") || to).focus();
  };
  const take = async () => {
    try {
      await change("/api/after/take", { file, number: offer.number }, known.water && known.water.book);
      leave();
    } catch (error) {
      if (error instanceof Refused) item.append(faultList(error.faults));
    }
  };
  item.append(make("span", { class: "pair" }, button("Take it", take, { "aria-label": "Take it: " + offer.words }), " ", button("Leave it", leave, { "aria-label": "Leave it: " + offer.words })));
  return item;
}
