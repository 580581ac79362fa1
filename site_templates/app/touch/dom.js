// Small things that several pages build.

/** While something is fetched or worked out. */
export const WAIT = "One moment …";

/**
 * An element with properties and children; texts stay texts.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag @param {Object<string, *>} properties @param {(Node | string)[]} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function make(tag, properties = {}, ...children) {
  const node = Object.assign(document.createElement(tag), properties);
  node.append(...children);
  return node;
}

/** A part of a drawing with its attributes. @param {string} name @param {Object<string, string | number>} attributes */
export function shape(name, attributes) {
  const node = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, String(value));
  return node;
}

/** The page's own part of that id; every page has the parts its script asks for. @param {string} id */
export function part(id) {
  return /** @type {HTMLElement} */ (document.getElementById(id));
}

/** Written only where it differs: the page is calm, and nothing is read out again. @param {Element} node @param {string} text */
export function put(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/** Says something at a place of its own, or with "" nothing. @param {string} id @param {string} text */
export function tell(id, text) {
  part(id).textContent = text;
  part(id).hidden = text === "";
}

/** Where a button that has the focus goes away, the focus goes to the page's title. */
export function focusTop() {
  const title = /** @type {HTMLElement} */ (document.querySelector("h1"));
  title.tabIndex = -1;
  title.focus({ preventScroll: true });
}

/** Hours, minutes and seconds of a length of time, such as 0:36:00. @param {number} ms */
export function countdown(ms) {
  const seconds = Math.floor(ms / 1000);
  const two = (/** @type {number} */ value) => String(value).padStart(2, "0");
  return `${Math.floor(seconds / 3600)}:${two(Math.floor((seconds % 3600) / 60))}:${two(seconds % 60)}`;
}
