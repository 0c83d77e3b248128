// Popups: text only, opened by pointer or keyboard, closed by Escape, focus going in and back.
"use strict";

function popupContent(title, rows, rowId) {
  const box = element("div", "popup");
  const head = element("p", "popup-title");
  head.tabIndex = -1;
  head.append(element("bdi", "name", title));
  const list = element("dl");
  for (const [key, value] of rows) {
    const worth = element("dd");
    worth.append(element("bdi", "name", value));
    list.append(element("dt", "", key), worth);
  }
  box.append(head, list);
  if (rowId) {
    const link = element("a", "to-row", "Show in the list");
    link.href = "#" + rowId;
    box.append(link);
  }
  return box;
}

function bindPopup(layer, title, rows, rowId) {
  layer.bindPopup(() => popupContent(title, rows, rowId), {
    maxWidth: 270, minWidth: 180, maxHeight: 310, autoPanPadding: [8, 8],
  });
}

function keepFocusWithPopups(map) {
  const frame = map.getContainer();
  let opener = null;
  map.on("popupopen", (event) => {
    const box = event.popup.getElement();
    const source = event.popup._source;
    const thing = (source && source.getElement && source.getElement()) || frame;
    opener = thing.matches("[tabindex]") ? thing : thing.querySelector("[tabindex]") || frame;
    box.setAttribute("role", "dialog");
    box.setAttribute("aria-label", box.querySelector(".popup-title").textContent);
    box.querySelector(".leaflet-popup-close-button").setAttribute("aria-label", "Close");
    box.querySelector(".popup-title").focus({ preventScroll: true });
  });
  map.on("popupclose", (event) => {
    const box = event.popup.getElement();
    const inside = box.contains(document.activeElement) || document.activeElement === document.body;
    if (inside && opener) opener.focus({ preventScroll: true });
    opener = null;
  });
  frame.addEventListener("keydown", (event) => {
    if (event.key === "Escape") map.closePopup();
  });
}
