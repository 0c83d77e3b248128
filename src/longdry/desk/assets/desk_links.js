// Where the answer names a key of the trip file, it leads to the field of that key.
/* global openAround */
import { make, showAsk } from "./desk_parts.js";

const KEY = /\b[a-z]+(?:_[a-z]+)+\b/g;

// `fieldOf` gives the field of a key, for the sections that the text names before all others.
export function linkKeys(root, fieldOf) {
  const texts = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
  const found = [];
  while (texts.nextNode()) if (!texts.currentNode.parentElement.closest("a, button")) found.push(texts.currentNode);
  for (const text of found) linkText(text, fieldOf);
}

function linkText(text, fieldOf) {
  const words = text.data;
  const sections = [...words.matchAll(/\[(\w+)\]/g)].map((match) => match[1]);
  const parts = [];
  let from = 0;
  for (const match of words.matchAll(KEY)) {
    const field = fieldOf(match[0], sections);
    if (!field) continue;
    parts.push(words.slice(from, match.index), make("a", { href: "#" + field.first.id, click: (event) => lead(event, field) }, match[0]));
    from = match.index + match[0].length;
  }
  if (parts.length) text.replaceWith(...parts, words.slice(from));
}

function lead(event, { box, first }) {
  event.preventDefault();
  openAround(first);
  showAsk(first.closest(".ask").id, box);
  first.focus({ preventScroll: true });
}
