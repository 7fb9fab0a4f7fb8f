/** @typedef {Record<string, string | number | boolean | null | undefined | ((event: any) => void)>} Attributes */
/** @typedef {Node | string | number | null | undefined | false} Child */

const SVG = "http://www.w3.org/2000/svg";

/**
 * Make an HTML element.
 * @param {string} name a tag, or a tag with classes: "p.note.good"
 * @param {Attributes} attributes "onclick" and the like take listeners; true writes an empty attribute
 * @param {...Child} children
 * @returns {any} the element: an input's value and a button's disabled are asked of it without casting
 */
export function el(name, attributes = {}, ...children) {
  const [tag, ...classes] = name.split(".");
  const element = document.createElement(tag);
  if (classes.length > 0) element.className = classes.join(" ");
  return dress(element, attributes, children);
}

/**
 * Make an SVG element; the same words as el().
 * @param {string} name
 * @param {Attributes} attributes
 * @param {...Child} children
 * @returns {SVGElement}
 */
export function svg(name, attributes = {}, ...children) {
  const [tag, ...classes] = name.split(".");
  const element = document.createElementNS(SVG, tag);
  if (classes.length > 0) element.setAttribute("class", classes.join(" "));
  return /** @type {SVGElement} */ (dress(element, attributes, children));
}

function dress(element, attributes, children) {
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === "function") element.addEventListener(key.slice(2), value);
    else if (value === true) element.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(key, String(value));
  }
  element.append(...children.filter((child) => child !== null && child !== undefined && child !== false).map(asNode));
  return element;
}

function asNode(/** @type {any} */ child) {
  return child instanceof Node ? child : String(child);
}

/**
 * The element with this id; a page without it is our bug, so it throws.
 * @param {string} id
 * @returns {any}
 */
export function byId(id) {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`this page has no #${id}`);
  return found;
}

/**
 * Turn the server's SVG markup (inner markup, no root) into elements; scripts are never taken over.
 * @param {string} markup
 * @returns {DocumentFragment}
 */
export function drawn(markup) {
  const parsed = new DOMParser().parseFromString(`<svg xmlns="${SVG}">${markup}</svg>`, "image/svg+xml");
  const fragment = document.createDocumentFragment();
  if (parsed.querySelector("parsererror") !== null) throw new Error("the server sent a drawing that is not SVG");
  for (const script of parsed.querySelectorAll("script")) script.remove();
  fragment.append(...Array.from(parsed.documentElement.childNodes, (node) => document.importNode(node, true)));
  return fragment;
}

/**
 * Fill a place anew; the focus, if it was inside, goes to what now stands in the same position.
 * @param {HTMLElement} place
 * @param {...(Node | string)} children
 */
export function refill(place, ...children) {
  const held = () => Array.from(place.querySelectorAll("a[href], button, input, select"));
  const at = held().indexOf(/** @type {Element} */ (document.activeElement));
  place.replaceChildren(...children);
  if (at >= 0) /** @type {HTMLElement | undefined} */ (held()[Math.min(at, held().length - 1)])?.focus();
}

/** Call the function at most once an animation frame, with the latest arguments. */
export function eachFrame(/** @type {(...values: any[]) => void} */ act) {
  let latest = null;
  return (/** @type {any[]} */ ...values) => {
    if (latest === null) {
      requestAnimationFrame(() => {
        const now = latest;
        latest = null;
        act(...now);
      });
    }
    latest = values;
  };
}

/** Call the function when nothing has happened for so many milliseconds. */
export function afterQuiet(/** @type {number} */ milliseconds, /** @type {(...values: any[]) => void} */ act) {
  let timer = 0;
  return (/** @type {any[]} */ ...values) => {
    window.clearTimeout(timer);
    timer = window.setTimeout(() => act(...values), milliseconds);
  };
}
