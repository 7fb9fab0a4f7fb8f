/** @typedef {{width: number, height: number}} Size */

/**
 * The size of a box in device pixels.
 *
 * A real window reports it itself (devicePixelContentBoxSize), rounded to the screen's own pixels. Two kinds of browser
 * do not: those without the property, and a headless one that pretends to another scale and reports CSS pixels
 * there. For both, CSS size times scale, rounded. A report within one pixel and a half of that product is
 * a true one: the rounding of a real window's edges is never more.
 *
 * @param {Size | null} reported in device pixels, or null when the browser has no such report
 * @param {Size} css in CSS pixels, fractions kept
 * @param {number} ratio device pixels a CSS pixel
 * @returns {Size}
 */
export function devicePixels(reported, css, ratio) {
  const product = { width: Math.round(css.width * ratio), height: Math.round(css.height * ratio) };
  if (reported === null) return product;
  const near = (a, b) => Math.abs(a - b) <= 1.5;
  return near(reported.width, css.width * ratio) && near(reported.height, css.height * ratio) ? reported : product;
}

/**
 * Keep a canvas as many pixels large as its box has on the screen, and say each time that changes.
 * @param {HTMLCanvasElement} canvas
 * @param {(size: Size, ratio: number) => void} changed
 */
export function followDevicePixels(canvas, changed) {
  let reported = null;
  let last = "";

  function settle() {
    const box = canvas.getBoundingClientRect();
    const size = devicePixels(reported, { width: box.width, height: box.height }, window.devicePixelRatio);
    const now = `${size.width} ${size.height} ${window.devicePixelRatio}`;
    if (now === last) return;
    last = now;
    canvas.width = size.width;
    canvas.height = size.height;
    changed(size, window.devicePixelRatio);
  }

  const observer = new ResizeObserver((entries) => {
    const box = entries[entries.length - 1].devicePixelContentBoxSize?.[0];
    reported = box ? { width: box.inlineSize, height: box.blockSize } : null;
    settle();
  });
  try {
    observer.observe(canvas, { box: "device-pixel-content-box" });
  } catch {
    observer.observe(canvas);
  }
  watchRatio(() => {
    reported = null;
    settle();
  });
  settle();
}

/** A scale change (another screen, another zoom) need not change the CSS size, so it is watched by itself. */
function watchRatio(/** @type {() => void} */ changed) {
  window.matchMedia(`(resolution: ${window.devicePixelRatio}dppx)`).addEventListener(
    "change",
    () => {
      changed();
      watchRatio(changed);
    },
    { once: true },
  );
}
