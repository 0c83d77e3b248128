// On the road: the panel that asks where the party is and what is left, and says what that allows.
"use strict";

function longdryHere() {
  const data = JSON.parse(document.getElementById("here-data").textContent);
  const drawn = JSON.parse(document.getElementById("map-data").textContent);
  const get = (id) => document.getElementById(id);
  const [fold, place, slide, day, time] = ["here", "here-km", "here-slide", "here-day", "here-time"].map(get);
  const state = { touched: false, position: null };

  const kmNow = () => number(place) === null ? null : number(place) * data.km_per_length;
  const hourNow = () => {
    const parts = time.value.split(":").map(Number);
    return parts.length < 2 ? null : Number(day.value) * 24 + parts[0] + parts[1] / 60;
  };
  const litresOf = (id) => number(get(id)) === null ? null : number(get(id)) * data.l_per_volume;

  // The plan's own hour there, until somebody says another; today's where the trip is under way.
  function setHour(km) {
    if (state.touched) return;
    const now = new Date();
    const today = data.dates.indexOf(localDate(now));
    const rows = rowsAt(data, km);
    const hour = today >= 0 ? today * 24 + now.getHours() + now.getMinutes() / 60 : rows.length ? rows[0][2] : 8;
    day.value = String(Math.floor(hour / 24));
    time.value = clock(hour);
  }

  function setPlace(km, words) {
    state.position = null;
    const shown = Math.min(Math.max(km, data.first_km), data.length_km);
    place.value = String(Number((shown / data.km_per_length).toFixed(3)));
    slide.value = place.value;
    get("here-place-words").textContent = words || "";
    get("here-place-words").classList.remove("alarm");
    setHour(shown);
    document.dispatchEvent(new CustomEvent("longdry-show", { detail: shown / data.km_per_length }));
    answer();
  }

  function answer() {
    const moves = document.querySelector("[name=can-move]:checked");
    const stays = moves !== null && moves.value === "no";
    document.documentElement.classList.toggle("waiting-alone", stays);
    const box = get("here-answer");
    box.replaceChildren();
    const [km, hour, litres] = [kmNow(), hourNow(), litresOf("here-left")];
    if (!moves) {
      if (km !== null || litres !== null) box.append(element("p", "alarm", "First say, above: can you move?"));
      return;
    }
    if (hour === null || litres === null || (km === null && !stays)) {
      box.append(element("p", "q", stays ? "Type the day, the hour and the litres that are left." : "Type the place, the hour and the litres that are left."));
      return;
    }
    const isOff = km !== null && (km < data.first_km - SAME_KM || km > data.length_km + SAME_KM);
    if (isOff && !stays) {
      box.append(element("p", "alarm", "That place is not on the way of this plan."));
      return;
    }
    const counts = counted(data, litres);
    if (counts < litres) box.append(element("p", "alarm", "Your containers hold no more than " + down(counts / data.l_per_volume) + " " + data.volume + ": read them off again. No more is counted here."));
    if (stays) {
      const stay = waitingAt(data, hour, counts);
      box.append(element("p", "says says-wait", lastsWords(data, stay)));
      box.append(element("p", "", helpWords(data, stay, counts)));
    } else showAnswer(box, data, longdryAnswer(data, km, hour, litres, tally.dryKms()));
    if (km !== null && !isOff) showInNeed(box, data, km);
  }

  for (const id of ["here-day", "here-time"]) get(id).addEventListener("input", () => { state.touched = true; });
  for (const id of ["here-day", "here-time", "here-left", "here-other"]) get(id).addEventListener("input", answer);
  for (const one of document.querySelectorAll("[name=can-move]")) one.addEventListener("change", answer);
  place.addEventListener("input", () => { state.position = null; slide.value = place.value; if (kmNow() !== null) setHour(kmNow()); answer(); });
  slide.addEventListener("input", () => setPlace(Number(slide.value) * data.km_per_length));
  get("here-stop").addEventListener("change", (event) => {
    if (event.target.value) setPlace(Number(event.target.value));
  });
  for (const button of document.querySelectorAll("[data-here]")) {
    button.addEventListener("click", () => {
      fold.open = true;
      setPlace(Number(button.dataset.here));
      fold.scrollIntoView();
      (document.querySelector("[name=can-move]:checked") || document.querySelector("[name=can-move]")).focus({ preventScroll: true });
    });
  }
  document.addEventListener("longdry-tap", (event) => {
    if (fold.open) setNear(event.detail.lat, event.detail.lng);
  });
  get("here-position").addEventListener("click", () => {
    const refused = () => { get("here-place-words").textContent = "This device gives no place here. Choose it from the list, or type it."; };
    if (!navigator.geolocation) { refused(); return; }
    navigator.geolocation.getCurrentPosition((found) => {
      const { latitude, longitude, accuracy } = found.coords;
      setNear(latitude, longitude, accuracy / 1000);
      state.position = [latitude, longitude];
    }, refused, { timeout: 30000 });
  });

  // A place that is off the route, or not sure, is told so: the figures are for the route.
  function setNear(lat, lon, unsure = 0) {
    const found = nearOnRoute(drawn.stretches, lat, lon, data);
    const also = found.also.length ? " The route comes by here also at " + found.also.map((km) => mark(data, km)).join(", ") + ": check which." : "";
    const long = (km) => up(km / data.km_per_length) + (data.unit === "km" ? " km" : " mi");
    const off = found.off > 1 ? " You are " + long(found.off) + " off the route: the way to it is not in these figures." : "";
    const may = unsure > 0.5 ? " The device may be wrong by " + long(unsure) + "." : "";
    setPlace(found.km, "About " + mark(data, found.km) + "." + off + may + also);
    get("here-place-words").classList.toggle("alarm", off + may + also !== "");
  }

  const tally = connectTally(data, {
    changed: answer, km: kmNow, hour: hourNow, left: () => litresOf("here-left"), other: () => litresOf("here-other"),
    at: () => state.position || (kmNow() === null ? null : placeAt([[0, ...drawn.ends[0].at], ...drawn.marks, [drawn.length, ...drawn.ends[1].at]], number(place))),
  });
}

const number = (input) => input.value.trim() === "" || !Number.isFinite(Number(input.value)) || Number(input.value) < 0 && input.min === "0" ? null : Number(input.value);
const up = (value) => String(Math.ceil(value * 10 - HAIR) / 10);
const dayCount = (days) => up(days) + (up(days) === "1" ? " day" : " days");
const down = (value) => String(Math.floor(value * 10 + HAIR) / 10);
const mark = (data, km) => data.unit + " " + (km / data.km_per_length).toFixed(1);
const need = (data, litres) => {
  const figure = litres / data.l_per_volume;
  return (figure < 10 || data.l_per_volume !== 1 ? up(figure) : String(Math.ceil(figure - HAIR))) + " " + data.volume;
};
const clock = (hour) => {
  const minutes = Math.round((hour - Math.floor(hour / 24) * 24) * 60) % 1440;
  return String(Math.floor(minutes / 60)).padStart(2, "0") + ":" + String(minutes % 60).padStart(2, "0");
};
const localDate = (when) => [when.getFullYear(), String(when.getMonth() + 1).padStart(2, "0"), String(when.getDate()).padStart(2, "0")].join("-");

function dayWords(data, hour) {
  const days = Math.floor(hour / 24);
  const date = data.dates.length ? new Date(data.dates[0] + "T12:00") : null;
  if (date) date.setDate(date.getDate() + days);
  const named = date ? ", " + date.toLocaleDateString("en-GB", { weekday: "short", day: "numeric", month: "short" }) : "";
  return "day " + (days + 1) + named + ", " + String(Math.floor(hour % 24)).padStart(2, "0") + ":00";
}

function lastsWords(data, stay) {
  return Number.isFinite(stay.until) ? "At rest in shade the water lasts until " + dayWords(data, stay.until) + "." : "The bare ration asks for no water.";
}

function helpWords(data, stay, litres) {
  if (stay.asks === null) return "Nobody knows when help comes: call at once, by every means.";
  const enough = litres + HAIR >= stay.asks;
  return "Help may take " + dayCount(stay.days) + ": that takes " + need(data, stay.asks) + (enough ? ", which you have. Call now all the same." : ". You have less: call now, by every means, and keep still.");
}

const SAYS = { on: "Go on.", saving: "Go on, saving.", fill: "Fill here first.", back: "Turn back", wait: "Wait here. Call for help." };

function named(label) {
  return element("bdi", "name", label);
}

function waterWords(data, water) {
  const made = element("span", "");
  if (water[0] === "start" || water[0] === "end") made.append("the " + water[0]); else made.append(named(water[0]));
  made.append(", " + mark(data, water[1]));
  return made;
}

function showAnswer(box, data, answer) {
  if (answer.says === "unknown") {
    const [early, late] = [-data.late_h[0], data.late_h[data.late_h.length - 1]];
    const hours = answer.plan.length ? " The plan is here on " + dayWords(data, Math.min(...answer.plan)) + "; figures are at hand from " + early + " hours before it to " + late + " hours after." : "";
    box.append(element("p", "says says-wait", "Not known for that hour."));
    box.append(element("p", "", "Take it for worse than any figure here." + hours + " Plan again on a computer, or wait and call."));
    box.append(element("p", "", lastsWords(data, answer.stay)));
    return;
  }
  const least = answer.least;
  const says = element("p", "says says-" + answer.says, SAYS[answer.says]);
  if (answer.says === "saving") says.append(" On the " + rationOf(answer) + " ration.");
  if (answer.says === "back") says.append(" to ", waterWords(data, answer.back.water), ".");
  const told = element("p", "");
  told.append("To ", waterWords(data, answer.next), " you need ", element("b", "", need(data, least.full) + " full"),
    ", ", element("b", "", need(data, least.lean) + " lean"), ", ", element("b", "", need(data, least.bare) + " bare"),
    ". You have ", element("b", "", down(answer.litres / data.l_per_volume) + " " + data.volume), ".");
  box.append(says);
  const takes = (litres) => answer.litres + HAIR >= litres;
  if (takes(least.saving) && !takes(least.savingOn)) {
    const why = element("p", "alarm", "");
    why.append(named(answer.next[0]), " may be dry: then your water takes you neither on nor back. Never stake your life on it.");
    box.append(why);
  }
  box.append(told);
  if (answer.byPlan) box.append(element("p", "", answer.asPlanned ? "You have what the plan counts on here." : "The plan counts on " + down(answer.planned.has / data.l_per_volume) + " " + data.volume + " here; saving from now on, yours is enough."));
  const list = element("dl", "least");
  row(list, data, answer, ["Go on, with the reserve"], least.wholeOn);
  row(list, data, answer, ["Go on, saving"], least.savingOn);
  if (answer.stop > 0 && answer.back) row(list, data, answer, ["If it is dry here, back to ", waterWords(data, answer.back.water)], answer.back.litres);
  else if (!answer.atWater && answer.back) row(list, data, answer, ["Turn back to ", waterWords(data, answer.behind)], least.back);
  if (answer.stay.asks !== null) row(list, data, answer, ["Wait " + dayCount(answer.stay.days) + " for help"], answer.stay.asks);
  box.append(list);
  if (answer.isNextDry) box.append(foundDry(answer.next, ": on only past it."));
  if (answer.noBack) box.append(foundDry(answer.noBack, ": do not turn back to it."));
  if (answer.stop > 0) box.append(dryHere(answer));
  if (answer.opens) box.append(element("p", "", "It is " + answer.opens + ": where it may be shut when you come, the figures take you past it."));
  if (!answer.isEnd) box.append(dryWords(data, answer));
  box.append(element("p", "", lastsWords(data, answer.stay) + (answer.says === "wait" ? " " + helpWords(data, answer.stay, answer.litres) : "")));
}

function foundDry(water, words) {
  const told = element("p", "alarm", "");
  told.append("You found no water at ", named(water[0]), words);
  return told;
}

// At a stop the figures are those after filling; dry, there is on, back, or waiting.
function dryHere(answer) {
  if (answer.isHereDry) return "";
  const told = element("p", "");
  const link = element("a", "", "What to decide here");
  link.href = "#stop-" + answer.stop;
  const has = answer.back && answer.litres + HAIR >= answer.back.litres;
  const rest = has ? "turn back to " + answer.back.water[0] + "." : "wait here and call for help.";
  told.append(
    "Type what is left after filling. Is this water dry or out of reach? ",
    answer.says === "on" || answer.says === "saving" ? "What is said here holds all the same. " : "Then " + rest + " ",
    link, " stands in the list.",
  );
  return told;
}

function row(list, data, answer, words, litres) {
  const head = element("dt");
  head.append(...words);
  const has = answer.litres + HAIR >= litres;
  list.append(head, element("dd", has ? "enough" : "little", "at least " + need(data, litres) + (has ? ": enough" : ": too little")));
}

function dryWords(data, answer) {
  const told = element("p", "");
  if (answer.byPlan) {
    const there = data.stops.findIndex((stop) => Math.abs(stop[1] - answer.next[1]) <= SAME_KM);
    const link = element("a", "", "What to decide there");
    link.href = "#stop-" + there;
    told.append("If ", named(answer.next[0]), " is dry: the bare ration from there, on or back; your water is enough for it. ", link, " stands in the list.");
    const turn = there > 0 ? data.stops[there][3] : null;
    if (answer.asPlanned && turn !== null) told.append(" By the plan the way back is open until " + mark(data, turn) + ".");
    return told;
  }
  told.append("If ", named(answer.next[0]), answer.sure ? " is dry after all: " : " is dry: ");
  const [least, fits] = [answer.least, (litres) => litres <= counted(data, Infinity) + HAIR];
  if (!answer.sure && answer.planned && least.savingOn < least.dry) {
    told.append("on or back from there takes ", element("b", "", need(data, least.savingOn)), " from here, saving from now on.");
    return told;
  }
  if (fits(least.past)) told.append("on past it ", element("b", "", need(data, least.past)), " from here");
  const backFits = !answer.isBehindDry && fits(least.out);
  if (fits(least.past) && backFits) told.append(", or ");
  if (backFits) told.append("there and back ", element("b", "", need(data, least.out)));
  told.append(fits(least.past) || backFits ? ", bare ration." : "your containers cannot hold enough for on or back.");
  if (answer.sure && answer.litres + HAIR < answer.least.dry) told.append(" You have less: then wait there and call.");
  return told;
}

// Water that may save a life, and never counts: the nearest three within 25 km along the route.
function showInNeed(box, data, km) {
  const near = data.need.map((one) => ({ one: one, along: Math.abs(one[1] - km) })).filter((each) => each.along <= 25);
  near.sort((a, b) => a.along + a.one[2] - b.along - b.one[2]);
  for (const { one, along } of near.slice(0, 3)) {
    const told = element("p", "q");
    const way = up(along / data.km_per_length) + (data.unit === "km" ? " km" : " mi") + (one[1] < km ? " behind" : " ahead");
    told.append("In need only, never reckoned with: ", named(one[0]), ", " + mark(data, one[1]) + ", " + way + ": ", element("bdi", "", one[3]), ".");
    box.append(told);
  }
}

// The km of a place, by the lines that are drawn: their share of each stretch.
function nearOnRoute(stretches, lat, lon, data) {
  const wide = Math.cos(lat * Math.PI / 180);
  const found = [];
  let from = stretches.length ? data.first_km : 0;
  for (const stretch of stretches) {
    const to = stretch.to * data.km_per_length;
    const points = stretch.line.map((one) => [(one[1] - lon) * wide * 111.2, (one[0] - lat) * 111.2]);
    const sizes = points.slice(1).map((one, at) => Math.hypot(one[0] - points[at][0], one[1] - points[at][1]));
    const whole = sizes.reduce((sum, one) => sum + one, 0) || 1;
    let done = 0;
    sizes.forEach((size, at) => {
      const [a, b] = [points[at], points[at + 1]];
      const share = size > 0 ? Math.min(Math.max(-(a[0] * (b[0] - a[0]) + a[1] * (b[1] - a[1])) / size / size, 0), 1) : 0;
      const off = Math.hypot(a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share);
      found.push({ off: off, km: from + (done + size * share) / whole * (to - from) });
      done += size;
    });
    from = to;
  }
  found.sort((a, b) => a.off - b.off);
  const best = found[0];
  const others = found.filter((one) => one.off < best.off + 0.2 && Math.abs(one.km - best.km) > 5);
  const also = others.filter((one, at) => others.findIndex((other) => Math.abs(other.km - one.km) < 5) === at);
  return { km: best.km, off: best.off, also: also.map((one) => one.km).slice(0, 3) };
}

window.addEventListener("DOMContentLoaded", longdryHere);
