/** What the draft says of rack, sewing and cost, and the words of the rack and of the work sheet. */

const mm = (value, places = 1) => `${Number(value).toFixed(places)} mm`;
const minutes = (value) => {
  const whole = Math.round(value);
  return whole < 60 ? `${whole} min` : `${Math.floor(whole / 60)} h ${whole % 60} min`;
};

export const makingWords = {
  making: {
    picks: "Take from the shelf",
    pickSize: "A known size",
    pickLeather: "Leather",
    pickIrons: "Irons",
    pickThread: "Thread",
    keepTyped: "as typed",
    byItself: "the thickest that suits",
    leather: (l) => `${l.name}, ${mm(l.thickness_mm, 2)}`,
    irons: (row) => `${row.pitch_mm} mm, ${row.tines.join(", ")} tines`,
    thread: (t) => `${t.name}, ${mm(t.diameter_mm, 2)}`,
    findings: (n) => (n === 1 ? "One thing to put right before cutting" : `${n} things to put right before cutting`),
    seam: ["Seam", "Holes", "Stitches", "Pitch", "Length"],
    seamNote: (s) => `${s.title}: ${s.words}`,
    blows: (s) =>
      `${s.blows} blows: ${s.irons.map(([tines, n]) => `${n} with ${tines === 1 ? "a single tine" : `${tines} tines`}`).join(", ")}.`,
    noSeams: "Nothing is sewn.",
    stitchThread: (t) =>
      t.name === null
        ? `No thread on the rack suits; ${mm(t.thread_mm / 10, 0).replace(" mm", " cm")} are needed.`
        : `${t.name} (${mm(t.diameter_mm, 2)})${t.needle ? `, ${t.needle}` : ""}: ${(t.thread_mm / 1000).toFixed(2)} m in all, in pieces of at most ${(t.arm_span_mm / 1000).toFixed(2)} m.`,
    stack: (t) => `The thickest stack sewn through is ${mm(t.stack_mm)}.`,
    way: (n, all) => (all === 1 ? "The way of the thread" : `The way of thread ${n}`),
    tools: "Tools for it",
    area: (c) =>
      `Pieces ${c.net_dm2.toFixed(2)} dm² (${c.net_sqft.toFixed(2)} sq ft); with waste ${c.bought_dm2.toFixed(2)} dm² (${c.bought_sqft.toFixed(2)} sq ft), ${Math.round(100 * c.waste_share)} % of it waste.`,
    materials: ["Material", "How much", "Price each", "Comes to"],
    work: ["Step", "Time", "How"],
    amount: (line) => `${line.quantity.toFixed(2)} ${line.unit}`,
    money: (value) => value.toFixed(2),
    minutes,
    sum: (c) =>
      `Materials ${c.materials.toFixed(2)}, ${minutes(c.minutes)} of work at ${c.hour.toFixed(2)} an hour, profit ${(100 * c.profit).toFixed(0)} %: price ${c.price.toFixed(2)}.`,
    unpriced: (c) =>
      `${c.bought_dm2.toFixed(1)} dm2 (${c.bought_sqft.toFixed(2)} sq ft) of leather, ${minutes(c.minutes)}; no prices are set yet.`,
    rates: "Prices and times are set on the rack.",
    starter: "Tools are those of the starter rack; hang up your own on the rack page.",
  },

  rack: {
    own: "This is your rack. The drafts choose from it.",
    starter:
      "A starter rack of common sizes hangs here until you save your own. Its sizes are common practice, not from any catalogue: change what differs, take away what you do not have.",
    parts: {
      leathers: {
        title: "Leathers",
        words: "Thickness from and to, in mm or ounces. K and stretch once you have measured a strip.",
        add: "Hang up a leather",
        one: "Leather",
      },
      threads: { title: "Threads", words: "By thickness, such as 0.6 mm, or as 277 tex.", add: "Add a thread", one: "Thread" },
      chisels: {
        title: "Irons",
        words: "One line for each pitch: the tines of its irons, and how long a slit one tine makes.",
        add: "Add irons",
        one: "Irons",
      },
      punches: {
        title: "Punches",
        words: "A round one by its width, an oblong one by width and length, a corner one by the radius it rounds.",
        add: "Add a punch",
        one: "Punch",
      },
      needles: {
        title: "Needles",
        words: "The thickest thread each carries, and the thickest stack it goes through.",
        add: "Add a needle",
        one: "Needle",
      },
    },
    columns: {
      leathers: { name: "Name", low: "From", high: "To", colour: "Colour", stretch: "Stretch", neutral: "K" },
      threads: { name: "Name", size: "Thickness", colour: "Colour" },
      chisels: { pitch: "Pitch", tines: "Tines", hole: "Slit" },
      punches: { shape: "Shape", width: "Width", length: "Length or radius" },
      needles: { name: "Name", thread: "Thread up to", stack: "Stack up to" },
    },
    label: (part, number, column) => `${part} ${number}: ${column}`,
    remove: (part, number) => `Take away ${part.toLowerCase()} ${number}`,
    shapes: { round: "round", oblong: "oblong", corner: "corner" },
    rates: {
      leather: "Leather, price of a dm²",
      waste_markup: "Leather bought above the pieces",
      thread: "Thread, price of a metre",
      hour: "Price of an hour",
      profit: "Profit on top",
      cutting: "Cutting, minutes a metre",
      gluing: "Gluing, minutes a metre",
      slot: "Minutes a slot or hole",
      fold: "Minutes a fold",
      scribing: "Scribing, minutes a metre",
      blow: "Minutes a blow",
      stitch: "Minutes a stitch",
      setting_up: "Setting up, minutes a step",
    },
    saving: "Saving…",
    saved: "Your rack is saved.",
    changed: "Not saved yet.",
    restarted: "The starter rack is back on the page; save it to keep it.",
  },

  sheet: {
    title: (s) => s.thing.name,
    made: (s, when) => `${s.title}, pattern ${s.id}, saved ${when}.`,
    notAsSaved: "The drafting rules have changed since this pattern was saved: draft it again before you work by this sheet.",
    light: (step) =>
      `${step.piece_title}, ${step.plies_under === 0 ? "on the bare table" : step.plies_under === 1 ? "one ply under the light" : `${step.plies_under} plies under the light`}, ${mm(step.height_mm)} above the table.`,
    drawing: (step) => `${step.piece_title} with the lines that the light shows for this step`,
    you: (tools) => `You need: ${tools.join(", ")}.`,
    blows: (s) => `${s.title}: ${s.words.length} ${s.words.length === 1 ? "blow" : "blows"} for ${s.holes} holes`,
    done: "Done",
  },
};
