/** What the draft says of rack, sewing and cost. */

import { length, unit } from "../lengths.js";

const mm = (value, places = 1) => length(value, places);
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
    nearest: "the nearest that suit",
    byItself: "the thickest that suits",
    gone: (name) => `${name} (not on the rack any more)`,
    leather: (l) => `${l.name}, ${mm(l.thickness_mm, 2)}`,
    irons: (row) => `${row.pitch_mm} mm, ${row.tines.join(", ")} tines`,
    thread: (t) => `${t.name}, ${mm(t.diameter_mm, 2)}`,
    filled: (source) => `Filled in ${source}.`,
    notFilled: (value, source) => `As you typed it; ${value} ${unit} would come ${source}.`,
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
    amount: (line) => (line.unit === "pieces" ? String(line.quantity) : `${line.quantity.toFixed(2)} ${line.unit}`),
    money: (value) => value.toFixed(2),
    minutes,
    sum: (c) =>
      `Materials ${c.materials.toFixed(2)}, ${minutes(c.minutes)} of work at ${c.hour.toFixed(2)} an hour, profit ${(100 * c.profit).toFixed(0)} %: price ${c.money}${c.copies > 1 ? ` for ${c.copies}, ${c.each_money} each` : ""}.`,
    unpriced: (c) => `${c.amounts}; no prices are set yet.`,
    costing: {
      copies: "How many are made in one go",
      hardware: "Hardware of one",
      columns: { name: "What", count: "How many", price: "Price each" },
      label: (number, column) => `Hardware ${number}: ${column}`,
      add: "Add hardware",
      remove: (number) => `Take away hardware ${number}`,
      asUsual: "As the pattern asks",
      proposed: "As the pattern asks by its own choices, at the prices of your rack.",
      none: "The pattern asks for none.",
      minutes: "Minutes you timed",
      minutesMean: "For one piece of work. Left empty, a step is reckoned by the times on your rack; that is what stands in grey.",
      min: "min",
      own: "Your own list; a price left empty is the one on your rack.",
    },
    priceHow: (c) => `Price: (materials + minutes / 60 x hour) x (1 + profit) = ${c.formula}`,
    rates: "Prices and times are set on the rack.",
    starter: "Tools are those of the starter rack; hang up your own on the rack page.",
  },
};
