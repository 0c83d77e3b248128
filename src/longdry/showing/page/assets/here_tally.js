// Write it down: readings kept in this browser, and taken home as one file. Nothing is sent.
"use strict";

function connectTally(data, now) {
  const get = (id) => document.getElementById(id);
  const key = "longdry tally " + data.name + " " + data.key;
  const water = get("note-water");
  let lines = [];
  let kept = true;
  try {
    lines = (localStorage.getItem(key) || "").split("\n").filter((line) => line !== "");
  } catch (refused) {
    kept = false;
  }

  function show(words) {
    try {
      localStorage.setItem(key, lines.join("\n"));
      kept = true;
    } catch (refused) {
      kept = false;
    }
    const lost = kept ? "" : " This browser keeps nothing for a page opened from a file: copy the text below, or save it, before you close the page.";
    get("note-says").textContent = (words + lost).trim();
    get("note-text").value = lines.join("\n");
    get("note-list").replaceChildren(...lines.map((line) => element("li", "name", lineWords(JSON.parse(line)))));
  }

  // Where the party last found no water. Of several waters of one place one with water is enough.
  function dryKms() {
    const found = new Map();
    for (const entry of lines.map((line) => JSON.parse(line)).sort((one, other) => (one.at < other.at ? -1 : 1))) {
      if (entry.source && (entry.found || entry.took_l)) found.set(entry.source, !entry.took_l && ["dry", "unreachable"].includes(entry.found));
    }
    const kms = (isDry) => [...water.options].filter((one) => found.get(one.value) === isDry).map((one) => Number(one.dataset.km));
    return kms(true).filter((km) => !kms(false).some((wet) => Math.abs(wet - km) <= SAME_KM));
  }

  function lineWords(entry) {
    const left = entry.left ? entry.left[0].litres + " L left" : "";
    const took = entry.took_l ? entry.took_l + " L taken" : "";
    const named = entry.new_source ? entry.new_source.name : entry.source;
    return [entry.at.replace("T", " "), entry.km === undefined ? "" : "km " + entry.km, left, named, entry.found, took, entry.note]
      .filter((word) => word).join(", ");
  }

  function keep() {
    const read = reading();
    if (typeof read === "string") { show(read); return; }
    lines.push(JSON.stringify(read));
    for (const id of ["note-took", "note-words", "note-name", "note-lat", "note-lon"]) get(id).value = "";
    water.value = "";
    get("note-found").value = "";
    get("note-new").hidden = true;
    show("Kept.");
    now.changed();
  }

  // A reading as `longdry tally` writes it, or the sentence that says what is missing.
  function reading() {
    const at = timeOf(data, now.hour());
    if (at === null) return "Give the day and the hour above.";
    const took = number(get("note-took"));
    const isNew = water.value === "new";
    const found = get("note-found").value;
    if ((took || found) && !water.value) return "Choose the water that this is about.";
    const [lat, lon] = [number(get("note-lat")), number(get("note-lon"))];
    const isPlace = lat !== null && lon !== null && Math.abs(lat) <= 90 && Math.abs(lon) <= 180;
    if (isNew && !(get("note-name").value.trim() && isPlace)) return "New water wants a name, a latitude and a longitude.";
    const entry = { at: at };
    if (now.km() !== null) entry.km = Number(now.km().toFixed(1));
    if (now.left() !== null) entry.left = [{ litres: Math.floor(now.left() * 100 + HAIR) / 100 }];
    if (took) entry.took_l = Math.round(took * data.l_per_volume * 100) / 100;
    if (water.value && !isNew) entry.source = water.value;
    if (found) entry.found = found;
    if (isNew) entry.new_source = { name: get("note-name").value.trim(), lat: lat, lon: lon };
    const other = now.other() ? "other water " + down(now.other()) + " L" : "";
    const note = [get("note-words").value.trim(), other].filter((word) => word).join("; ");
    if (note) entry.note = note;
    return Object.keys(entry).length > 2 || entry.left || entry.note ? entry : "Say what is left, or what you found.";
  }

  function timeOf(trip, hour) {
    const typed = get("note-date");
    if (hour === null) return null;
    const first = typed ? typed.value : trip.dates[0];
    if (!first) return null;
    const date = new Date(first + "T12:00");
    if (!typed) date.setDate(date.getDate() + Math.floor(hour / 24));
    return localDate(date) + "T" + clock(hour);
  }

  function save() {
    const link = element("a");
    link.href = URL.createObjectURL(new Blob([lines.map((line) => line + "\n").join("")], { type: "application/json" }));
    link.download = (data.name.replace(/[^\p{L}\p{N} _-]/gu, "").trim().replace(/ +/g, "_").slice(0, 60) || "trip") + ".tally.json";
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    show("Saved as " + link.download + ", where this browser puts its files.");
  }

  water.addEventListener("change", () => {
    const isNew = water.value === "new";
    get("note-new").hidden = !isNew;
    const at = isNew ? now.at() : null;
    if (at) [get("note-lat").value, get("note-lon").value] = at.map((one) => one.toFixed(5));
  });
  get("note-keep").addEventListener("click", keep);
  get("note-undo").addEventListener("click", () => { show(lines.pop() ? "Taken out." : "There is no reading."); now.changed(); });
  get("note-save").addEventListener("click", () => { if (lines.length) save(); else show("There is no reading to save."); });
  show("");
  return { dryKms: dryKms };
}
