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
  for (const child of children) if (child instanceof Node || typeof child === "string") element.append(child);
  return element;
}

/**
 * Return an element of the page by its id.
 * @param {string} id
 * @returns {HTMLElement}
 */
export function byId(id) {
  return kindById(HTMLElement, id);
}

/**
 * Return an element of a kind by its id.
 * @template {Element} Kind
 * @param {new () => Kind} kind
 * @param {string} id
 * @returns {Kind}
 */
export function kindById(kind, id) {
  const found = document.getElementById(id);
  if (!(found instanceof kind)) throw new Error(`the page has no ${kind.name} #${id}`);
  return found;
}

/**
 * Put new children into an element. One that looks as before stays as it is: what has the focus
 * keeps it, and a screen reader is not told again. In one that changed the focus is found by its id.
 * @param {HTMLElement} element
 * @param {readonly Node[]} children
 */
export function fill(element, children) {
  const focused = document.activeElement;
  const id = focused instanceof HTMLElement && element.contains(focused) ? focused.id : "";
  children.forEach((child, at) => {
    const old = element.childNodes[at];
    if (!old) element.append(child);
    else if (!old.isEqualNode(child)) old.replaceWith(child);
  });
  while (element.childNodes.length > children.length) element.lastChild?.remove();
  if (id && document.activeElement !== focused) document.getElementById(id)?.focus({ preventScroll: true });
}

/** A click follows the end of a touch within this time. */
const CLICK_MS = 100;
/** Longer than this nobody presses; a mouse was let go outside the window. */
const PRESS_MS = 2_000;

/**
 * Holds drawing back while something is being pressed: a button that is replaced under the finger is
 * pressed in vain.
 */
export class Stillness {
  /** @param {() => void} draw */
  constructor(draw) {
    this.draw = draw;
    this.presses = 0;
    this.pressed = false;
    this.missed = false;
    const then = (/** @type {number} */ wait) => {
      const press = this.presses;
      setTimeout(() => press === this.presses && this.#release(), wait);
    };
    document.addEventListener("pointerdown", () => {
      this.presses += 1;
      this.pressed = true;
      then(PRESS_MS);
    }, { capture: true });
    for (const end of ["pointerup", "pointercancel"]) {
      document.addEventListener(end, () => then(CLICK_MS), { capture: true });
    }
    // What the click does is drawn at once; what was missed before it, after it.
    document.addEventListener("click", () => {
      this.pressed = false;
      then(0);
    }, { capture: true });
  }

  /**
   * Return whether drawing has to wait; it is then made up for.
   * @returns {boolean}
   */
  holds() {
    this.missed = this.pressed;
    return this.pressed;
  }

  #release() {
    this.pressed = false;
    if (!this.missed) return;
    this.missed = false;
    this.draw();
  }
}

/**
 * Return what kind of thing is in one's hand, as messages ask for it.
 * @returns {"phone" | "tablet" | "computer"}
 */
export function deviceKind() {
  if (!matchMedia("(pointer: coarse)").matches) return "computer";
  return Math.min(screen.width, screen.height) < 600 ? "phone" : "tablet";
}

/**
 * Return a time of day as the language of the page writes it.
 * @param {string} iso
 * @returns {string}
 */
export function timeOfDay(iso) {
  const place = document.getElementById("words")?.dataset.locale ?? [];
  return new Date(iso).toLocaleTimeString(place, { hour: "2-digit", minute: "2-digit" });
}
