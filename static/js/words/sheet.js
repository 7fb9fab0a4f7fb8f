/** The words of the work sheet. */

import { shortLength } from "../lengths.js";
import { makingWords } from "./making.js";

const mm = (/** @type {number} */ value, places = 0) => shortLength(value, places);
const metres = (value) => `${(value / 1000).toFixed(2)} m`;

export const sheetWords = {
  title: (s) => s.thing.name,
  made: (s, when) => `${s.title}, pattern ${s.id}, saved ${when}.`,
  notAsSaved: "The drafting rules have changed since this pattern was saved: draft it again before you work by this sheet.",
  findings: makingWords.making.findings,
  madeOf: "Made of",
  material: { leather: "Leather", thread: "Thread", needle: "Needles", irons: "Irons", copies: "How many" },
  irons: (s) =>
    s.strikes.irons.length === 0
      ? ""
      : `${s.strikes.pitches_mm.map((p) => `${p} mm`).join(", ")}; ${s.strikes.blows} blows: ${s.strikes.irons.map(([tines, n]) => `${n} with ${tines} tine${tines === 1 ? "" : "s"}`).join(", ")}`,
  thread: (t) => `${t.name} (${mm(t.diameter_mm, 2)}), ${metres(t.thread_mm)} in all`,
  noThread: (t) => `no thread on the rack suits; ${metres(t.thread_mm)} are needed`,
  needle: (t) => `${t.needle}; the thickest stack is ${mm(t.stack_mm, 1)}`,
  measures: "Measures",
  cutList: "To cut",
  cutHeads: ["Piece", "Cut", "Width", "Height", "Leather", "Area"],
  cutRow: (c) => [c.title, String(c.count), mm(c.width_mm, 1), mm(c.height_mm, 1), mm(c.leather_mm, 2), `${(c.count * c.area_dm2).toFixed(2)} dm²`],
  threadHeads: ["Thread", "For", "Length"],
  threadRow: (name, seams, piece) => [name, seams, metres(piece.length)],
  threadUnnamed: "thread",
  hardwareHeads: ["Hardware", "How many"],
  hardwareRow: (h, copies) => [h.name, String(h.count * copies)],
  forCopies: (n) => `Lengths and counts of thread and pieces are those of one; make ${n}.`,
  steps: "The order of work",
  light: (step) =>
    `Light on: ${step.piece_title.toLowerCase()}, ${step.plies_under === 0 ? "on the bare table" : step.plies_under === 1 ? "one ply" : `${step.plies_under} plies`}, ${mm(step.height_mm, 2)} above the table.`,
  drawing: (step) => `${step.piece_title} with the lines that the light shows for this step`,
  you: (tools) => `You need: ${tools.join(", ")}.`,
  wait: "Wait",
  blows: (s) => `${s.title}: ${s.words.length} ${s.words.length === 1 ? "blow" : "blows"} for ${s.holes} holes`,
  blowsDrawing: (s) => `${s.title}: where each blow falls, in striking order`,
  number: (t) => (t.first === t.last ? `${t.first}` : `${t.first} to ${t.last}`),
  way: (n, all) => (all === 1 ? "The way of the thread" : `The way of thread ${n}`),
  wayDrawing: (route) => `The way of the thread along ${route.seams.join(", ")}`,
  key: {
    start: "start, and which way",
    twice: "sewn twice",
    join: "next piece begins",
    knot: "ends come out and are hidden",
  },
  done: "Done",
};
