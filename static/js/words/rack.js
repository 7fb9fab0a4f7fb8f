/** The words of the rack page. */

export const rackWords = {
  own: "This is your rack. The drafts choose from it.",
  starter:
    "A starter rack of common sizes hangs here until you save your own. Its sizes are common practice, not from any catalogue: change what differs, take away what you do not have.",
  parts: {
    leathers: {
      title: "Leathers",
      words:
        "Thickness from and to, in mm or ounces (4 oz, 1.6 mm). A draft takes the middle. The price is of a dm², or write 9 a sq ft; empty takes the price below.",
      add: "Hang up a leather",
      one: "Leather",
    },
    threads: {
      title: "Threads",
      words: "By thickness, such as 0.6 mm, or as 277 tex. The price is of a metre; empty takes the price below.",
      add: "Add a thread",
      one: "Thread",
    },
    chisels: {
      title: "Irons",
      words:
        "One line for each pitch: the tines of each iron you have of it, and how long a slit one tine makes. Two threads go through each slit, so one thicker than half of it is warned of.",
      add: "Add irons",
      one: "Irons",
    },
    needles: {
      title: "Needles",
      words: "The thickest thread each carries, and the thickest stack of leather it reaches through.",
      add: "Add a needle",
      one: "Needle",
    },
    punches: {
      title: "Punches",
      words: "A round one by its width, an oblong one by width and length, a corner one by the radius it rounds, as its length.",
      add: "Add a punch",
      one: "Punch",
    },
    hardware: {
      title: "Hardware",
      words: "Snaps, studs, rivets, buckles, rings: by the name a draft asks for, and the price of one.",
      add: "Add hardware",
      one: "Hardware",
    },
  },
  columns: {
    leathers: { name: "Name", low: "From", high: "To", colour: "Colour", price: "Price" },
    threads: { name: "Name", size: "Thickness", colour: "Colour", price: "Price" },
    chisels: { pitch: "Pitch", tines: "Tines", hole: "Slit" },
    punches: { shape: "Shape", width: "Width", length: "Length" },
    needles: { name: "Name", thread: "Thread up to", stack: "Stack up to" },
    hardware: { name: "Name", price: "Price each" },
  },
  measured: {
    summary: (k, stretch) =>
      [k === "" ? null : `K ${k}`, stretch === "" ? null : `stretch ${stretch.replace("%", "").trim()} %`].filter(Boolean).join(", ") || "Measured on a strip: not yet",
    strip: "Measured on a strip",
    help: "Stretch: pull a strip by hand as the work will, and say how much longer it gets, in percent. K: bend a strip wet as you will bend the work and let it dry; type how far it turns, the radius inside the bend, and how much of the flat strip the bend took up (from where it begins to bend to where it ends, measured flat). K is then worked out, (length / angle - radius) / thickness, and the drafts use it. Or type K itself.",
    columns: {
      stretch: "Stretch, %",
      strip_angle: "Bend, degrees",
      strip_radius: "Inside radius",
      strip_length: "Length taken up",
      neutral: "K",
    },
    from: (k) => `K ${k} from the strip`,
  },
  label: (part, number, column) => `${part} ${number}: ${column}`,
  remove: (part, number) => `Take away ${part.toLowerCase()} ${number}`,
  shapes: { round: "round", oblong: "oblong", corner: "corner" },
  money: {
    title: "Money",
    words: "In your own money; the sign is written beside every price. What is left empty keeps its usual value.",
    fields: {
      currency: "Your sign for money",
      "rates.hour": "An hour of work",
      "rates.leather": "Leather, a dm²",
      "rates.waste_markup": "Bought above the pieces",
      "rates.thread": "Thread, a metre",
      "rates.profit": "Profit on top",
    },
  },
  minutes: {
    title: "Minutes of work",
    words: "How long each kind of work takes you; the starting values are common practice, no source. Time yourself once and set your own.",
    fields: {
      "rates.setting_up": "Setting up a step",
      "rates.cutting": "Cutting a metre",
      "rates.gluing": "Gluing a metre",
      "rates.slot": "A slot or punched hole",
      "rates.fold": "A fold",
      "rates.scribing": "Scribing a metre",
      "rates.blow": "A blow of the irons",
      "rates.stitch": "A stitch",
    },
  },
  waiting: {
    title: "Waiting and thread",
    words: "Read the times off your glue; what is left empty is taken as common practice, and the work sheet says so. Such as 10 min, 2 h, 1 day.",
    fields: {
      "waiting.tacky": "Glue until it is tacky",
      "waiting.joint": "Glued joint until you work on it",
      "waiting.drying": "Wet leather until it is dry",
      arm_span: "Longest thread you like to sew with",
    },
  },
  saving: "Saving…",
  saved: "Your rack is saved.",
  changed: "Not saved yet.",
  restarted: "The starter rack is back on the page; save it to keep it.",
};
