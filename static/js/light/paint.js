/**
 * @typedef {object} Stroke points are x, y in turn, in device pixels with pixel edges on integers
 * @property {string} kind
 * @property {string} colour
 * @property {number} width
 * @property {number[]} dash
 * @property {boolean} closed
 * @property {number[]} points
 */
/** @typedef {{x: number, y: number, size: number, text: string, colour: string, align: CanvasTextAlign, angle: number}} Text */
/** @typedef {{version: number, picture: [number, number] | null, mode: string, sentence: string | null, waiting?: boolean, strokes: Stroke[], texts: Text[], bench: any, chequer?: [number, number, number, number][]}} Frame chequer: patches x, y, width, height in whole device pixels */

/**
 * Draw a frame. The numbers go to the canvas as they came: no scale, no shift, no rounding.
 * @param {CanvasRenderingContext2D} context
 * @param {Frame | null} frame
 */
export function paint(context, frame) {
  const { width, height } = context.canvas;
  context.setTransform(1, 0, 0, 1, 0, 0);
  context.fillStyle = "#000";
  context.fillRect(0, 0, width, height);
  if (frame === null || frame.sentence) return;
  for (const patch of frame.chequer ?? []) drawChequer(context, patch);
  for (const stroke of frame.strokes) drawStroke(context, stroke);
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

/** Butt caps end a line where it ends; only a dot (no length) takes a round cap, or nothing would be seen of it. */
function drawStroke(context, stroke) {
  const { points } = stroke;
  context.strokeStyle = stroke.colour;
  context.lineWidth = stroke.width;
  context.setLineDash(stroke.dash ?? []);
  context.lineCap = isDot(points) ? "round" : "butt";
  context.lineJoin = "miter";
  context.miterLimit = 3;
  context.beginPath();
  context.moveTo(points[0], points[1]);
  for (let i = 2; i < points.length; i += 2) context.lineTo(points[i], points[i + 1]);
  if (stroke.closed) context.closePath();
  context.stroke();
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
