/**
 * @typedef {object} Stroke points are x, y in turn, in device pixels with pixel edges on integers
 * @property {string} kind
 * @property {string} colour
 * @property {number} width
 * @property {number[]} dash
 * @property {boolean} closed
 * @property {number[]} points
 */
/** @typedef {{colour: string, rings: number[][]}} Area what lies inside two of the rings is dark again (even and odd) */
/** @typedef {{x: number, y: number, size: number, text: string, colour: string, align: CanvasTextAlign, angle: number}} Text */
/**
 * @typedef {object} Frame
 * @property {number} version
 * @property {string} mode
 * @property {string | null} sentence
 * @property {Stroke[]} strokes
 * @property {Text[]} texts
 * @property {Area[]} [areas]
 * @property {[number, number] | null} [picture]
 * @property {any} [bench]
 * @property {boolean} [waiting]
 * @property {[number, number, number, number][]} [chequer] patches x, y, width, height in whole device pixels
 * @property {[number, number, number] | null} [made_for] width, height and ratio of the window it was made for
 * @property {string} [run] the run of the program that made it
 * @property {string | null} [blink] the kind of line that blinks
 * @property {boolean} [runner] whether a dot runs along the lines that are cut
 * @property {boolean} [black] whether the light is blacked out
 * @property {any} [hand] what a hand has over the layout: the cross-hair, an outline to push against
 */

/**
 * Draw a frame. The numbers go to the canvas as they came: no scale, no shift, no rounding.
 * @param {CanvasRenderingContext2D} context
 * @param {Frame | null} frame
 * @param {string | null} [without] a kind of line that is left out for now
 */
export function paint(context, frame, without = null) {
  const { width, height } = context.canvas;
  context.setTransform(1, 0, 0, 1, 0, 0);
  context.fillStyle = "#000";
  context.fillRect(0, 0, width, height);
  if (frame === null || frame.sentence) return;
  for (const patch of frame.chequer ?? []) drawChequer(context, patch);
  if (without !== "cut") for (const area of frame.areas ?? []) drawArea(context, area);
  for (const alike of runs(frame.strokes, without)) drawStrokes(context, alike);
  for (const text of frame.texts ?? []) drawText(context, text);
}

/** A chequerboard of single pixels, put into the canvas as they are: whatever smooths it comes after this window. */
function drawChequer(context, [left, top, width, height]) {
  const image = context.createImageData(width, height);
  const pixels = new Uint32Array(image.data.buffer);
  const [white, black] = [0xffffffff, 0xff000000];
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1) pixels[y * width + x] = (left + x + top + y) % 2 === 0 ? white : black;
  context.putImageData(image, left, top);
}

function drawArea(context, { colour, rings }) {
  context.fillStyle = colour;
  context.beginPath();
  for (const ring of rings) trace(context, ring, true);
  context.fill("evenodd");
}

/** Strokes that follow each other and look alike are drawn at once: a stitched piece has hundreds of ticks. */
function runs(/** @type {Stroke[]} */ strokes, /** @type {string | null} */ without) {
  const found = [];
  let last = "";
  for (const stroke of strokes) {
    if (stroke.kind === without) continue;
    const look = `${stroke.colour} ${stroke.width} ${stroke.dash} ${isDot(stroke.points)}`;
    if (look === last) found[found.length - 1].push(stroke);
    else found.push([stroke]);
    last = look;
  }
  return found;
}

/** Butt caps end a line where it ends; only a dot (no length) takes a round cap, or nothing would be seen of it. */
function drawStrokes(context, /** @type {Stroke[]} */ alike) {
  const [first] = alike;
  context.strokeStyle = first.colour;
  context.lineWidth = first.width;
  context.setLineDash(first.dash ?? []);
  context.lineCap = isDot(first.points) ? "round" : "butt";
  context.lineJoin = "miter";
  context.miterLimit = 3;
  context.beginPath();
  for (const stroke of alike) trace(context, stroke.points, stroke.closed);
  context.stroke();
}

function trace(context, points, closed) {
  context.moveTo(points[0], points[1]);
  for (let i = 2; i < points.length; i += 2) context.lineTo(points[i], points[i + 1]);
  if (closed) context.closePath();
}

function isDot(points) {
  for (let i = 2; i < points.length; i += 2) {
    if (points[i] !== points[0] || points[i + 1] !== points[1]) return false;
  }
  return true;
}

function drawText(context, text) {
  context.save();
  context.translate(text.x, text.y);
  context.rotate(((text.angle ?? 0) * Math.PI) / 180);
  context.font = `600 ${text.size}px system-ui, "Segoe UI", Roboto, "DejaVu Sans", sans-serif`;
  context.textAlign = text.align ?? "center";
  context.textBaseline = "middle";
  context.fillStyle = text.colour;
  context.fillText(text.text, 0, 0);
  context.restore();
}
