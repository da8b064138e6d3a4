// Small help with elements.

/**
 * Make an element.
 * @param {string} tag
 * @param {Record<string, string | boolean | ((event: Event) => void) | undefined>} attributes
 *   A function listens to the event that its key names; true sets an empty attribute.
 * @param {...(Node | string | null | false | undefined)} children
 * @returns {HTMLElement}
 */
export function h(tag, attributes, ...children) {
  const element = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === "function") element.addEventListener(key, value);
    else if (value === true) element.setAttribute(key, "");
    else if (value !== false && value !== undefined) element.setAttribute(key, value);
  }
  element.append(...children.filter((child) => child instanceof Node || typeof child === "string"));
  return element;
}

/**
 * Return an element of the page by its id.
 * @template {HTMLElement} [Kind=HTMLElement]
 * @param {string} id
 * @returns {Kind}
 */
export function byId(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no #${id}`);
  return /** @type {Kind} */ (found);
}

/**
 * Put new children into an element; what had the focus keeps it, found again by its id.
 * @param {HTMLElement} element
 * @param {readonly Node[]} children
 */
export function fill(element, children) {
  const focused = document.activeElement;
  const id = focused instanceof HTMLElement && element.contains(focused) ? focused.id : "";
  element.replaceChildren(...children);
  if (id) document.getElementById(id)?.focus({ preventScroll: true });
}

/**
 * Return a word for the thing in one's hand.
 * @returns {string}
 */
export function deviceWord() {
  if (!matchMedia("(pointer: coarse)").matches) return "computer";
  return Math.min(screen.width, screen.height) < 600 ? "phone" : "tablet";
}

/**
 * Return a count with its noun.
 * @param {number} count
 * @param {string} one
 * @param {string} [many]
 * @returns {string}
 */
export function counted(count, one, many = `${one}s`) {
  return `${count} ${count === 1 ? one : many}`;
}

/**
 * Return a time of day as the device writes it.
 * @param {string} iso
 * @returns {string}
 */
export function timeOfDay(iso) {
  return new Date(iso).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
}
