/**
 * Every text of the phone app, in one place, ready to be translated. English first.
 * What the checklist and the judge say comes from them and is not repeated here.
 */

import { GRADE_WORDS, GRADES, type Grade } from "../../shared/contract";

const plural = (count: number, singular: string, many: string) =>
  `${count} ${count === 1 ? singular : many}`;

const capitalized = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;

export const words = {
  app: "Bradawl",
  back: "Back",
  close: "Close",
  change: "Change",
  undo: "Undo",
  undone: "Taken back.",
  next: "Next",

  grade: Object.fromEntries(
    GRADES.map((grade) => [grade, capitalized(GRADE_WORDS[grade])]),
  ) as Record<Grade, string>,
  gradeOpen: "Open",
  gradeJudging: "Being judged",

  sync: {
    phone: "Saved on this phone",
    phoneUnsent: (count: number) => `Saved on this phone · ${count} to send`,
    phoneOld: (count: number, age: string) =>
      `Saved on this phone · ${count} to send, the oldest for ${age}`,
    sending: (sent: number, total: number) => `Sending ${sent} of ${total}`,
    server: "On the server",
    issue: {
      unreachable: "",
      pair: "Pair this phone to send",
      app_too_old: "This app is older than the server",
      server_too_old: "The server is older than this app",
      entry: "An entry needs you before it can be sent",
      server: "The server cannot take it now",
      batch: "What the server sent was damaged",
      phone: "This phone could not send",
      photo: "A photo needs you before it can be sent",
    },
  },

  cars: {
    title: "Cars",
    start: "Look at a car",
    none: "No car yet. Tap “Look at a car” when you stand before it; it works without a signal.",
    unnamed: "Car without a name",
    begun: (date: string) => `Begun ${date}`,
    sealed: "Signed",
    open: (count: number) => plural(count, "item open", "items open"),
    preparing:
      "This phone has not yet taken the checklists along. Open Bradawl once with the server in reach.",
  },

  facts: {
    title: "The car",
    hint: "What you know now; every answer narrows the list. Leave open what you do not know.",
    make: "Make",
    model: "Model",
    year: "Year of build",
    registration: "Registration",
    vin: "Chassis number (VIN)",
    colour: "Colour",
    odometer: "Odometer",
    place: "Where you look at it",
    seller: "Seller",
    inspector: "Your name",
    currency: "Currency",
    cylinders: "Cylinders",
    price: "Asking price",
    valueGood: "What a good one is worth to you",
    rate: "Hourly rate of work",
    distance: "Way home",
    uses: "What it is for",
    walk: "To the walk",
    conditions: "Today",
    depth: "How thorough",
    depths: { usual: "Usual, about an hour", thorough: "Thorough" },
    margin: "What you want to keep as a margin",
    dark: "Dark",
    wet: "Wet",
    motorway: "Motorway on the way home",
    yes: "Yes",
    no: "No",
    year_bad: "A year has four figures, such as 1994.",
    money_bad: "Money is written in whole units, such as 2400.",
  },

  fact: {
    "car/fuel": ["Fuel", { petrol: "Petrol", diesel: "Diesel" }],
    "car/fuelling": ["Fuelling", { injection: "Injection", carburettor: "Carburettor" }],
    "car/front_brakes": ["Front brakes", { disc: "Disc", drum: "Drum" }],
    "car/rear_brakes": ["Rear brakes", { disc: "Disc", drum: "Drum" }],
    "car/structure": ["Structure", { unibody: "Unibody", frame: "On a frame" }],
    "car/gearbox": ["Gearbox", { manual: "Manual", automatic: "Automatic" }],
    "car/drive": ["Driven wheels", { front: "Front", rear: "Rear", all: "All" }],
    "car/steering": ["Steering", { rack: "Rack", box: "Box" }],
    "car/assist": ["Steering help", { power: "Power", manual: "None" }],
    "car/airbags": ["Airbags", { yes: "Yes", no: "No" }],
    "car/catalyst": ["Catalyst", { yes: "Yes", no: "No" }],
    "car/aircon": ["Air conditioning", { yes: "Yes", no: "No" }],
  } satisfies Record<string, [string, Record<string, string>]>,
  use: {
    everyday: "Everyday",
    long_trips: "Long trips",
    track: "Track",
    show: "Show",
    family: "Family",
    load: "Loads",
    resale: "Resale",
    project: "Project",
  },

  walk: {
    title: "The walk",
    notStarted: "not started",
    inProgress: (open: number) => `${open} open`,
    done: "done",
    facts: "Car facts",
    kerb: "At the kerb",
    map: "Body map",
    sign: "Check and sign",
    beside: "Beside the walk",
    inOrder: "In the order of the walk",
    byArea: "The same by area",
    nextItem: (title: string) => `Next: ${title}`,
    allDone: "Everything answered. Check and sign",
    signed: "Signed. What it comes to",
    signAgain: (count: number) => `Sign again: ${plural(count, "entry", "entries")} since`,
    opening: "Opening this visit…",
    nothingHere: "This page has nothing to look at on this car.",
  },

  rest: {
    button: (count: number) => `Rest in order (${count})`,
    kept: (count: number) =>
      `${plural(count, "item stays", "items stay")} open: the drive home depends on ${count === 1 ? "it" : "them"}.`,
    said: (count: number) => `${plural(count, "item", "items")} recorded as in order, in one go.`,
    why: "recorded together with the rest as in order",
  },

  item: {
    how: "How",
    less: "Less",
    details: "Note, photo, how",
    look: "Look at",
    where: "Where",
    caution: "Caution",
    cautions: (titles: string[]) => `Caution: ${titles.join(", ")}`,
    note: "Note",
    text: "What it says",
    photo: "Photo",
    photoFile: "From a file",
    whyNot: "Why not?",
    whyOver: "Your grade differs from the measured one. Why?",
    whyElse: "Another reason",
    whys: "What is it?",
    measured: (grade: string) => `Measured: ${grade}`,
    overruled: (grade: string) => `Overruled; measured ${grade}`,
    conflict: "Two people recorded different answers. Tap the one that holds.",
    unit: (unit: string) => `Unit ${unit}, change`,
    less1: (name: string) => `Less ${name}`,
    more1: (name: string) => `More ${name}`,
    source: "Source",
    noFigure: { none: "Gauge reads nothing", open: "No circuit" } as Record<string, string>,
    moreFacts: (count: number) => plural(count, "more figure", "more figures"),
    recorded: (title: string, answer: string) => `${title}: ${answer}.`,
    nothing: "nothing",
    otherwise: "Grade it otherwise",
    anyway: "Answer it all the same",
    manyReadings: (done: number, all: number) => `Type readings (${done} of ${all})`,
    grade: "Grade",
    choice: "Answer",
  },
  whyOver: ["measured again", "gauge not sure", "part is new", "known and allowed for"],
  whyNot: ["no access", "not safe to", "seller said no", "too dark", "no tool", "no time"],

  /** Units that are written otherwise than the judge names them. */
  units: {
    um: "µm",
    degC: "°C",
    degF: "°F",
    ohm: "Ω",
    kohm: "kΩ",
    "lbf.ft": "lbf·ft",
    "in/32": "1/32 in",
    deg: "°",
    yr: "years",
    "1": "",
  } as Record<string, string>,

  places: {
    "front-left": "Front left",
    "front-right": "Front right",
    "rear-left": "Rear left",
    "rear-right": "Rear right",
  } as Record<string, string>,
  cylinder: (number: string) => `Cylinder ${number}`,

  photo: {
    title: "Photos",
    preparing: "Preparing the picture…",
    finder: "What the camera sees",
    shoot: "Take it",
    remove: "Take back this photo",
    removed: "photo taken back",
    alt: (title: string, number: number) => `Photo ${number} of ${title}`,
    noPreview: "Kept; this phone cannot show HEIC pictures.",
    added: "Photo saved on this phone.",
    caption: "Caption",
    captions: ["overview", "close up", "from below", "left", "right"],
    draw: "Draw on it",
    drawn: "marked",
    arrow: "Arrow",
    circle: "Circle",
    keepDrawn: "Keep as a new photo",
  },

  map: {
    intro: "Tap a panel. Its paint, gaps, dents and rust are recorded below.",
    views: { left: "Left side", top: "From above", right: "Right side" },
    list: "All panels",
    nothing: "nothing recorded",
    film: (um: string) => `${um} µm`,
    deviation: (um: string) => `${um} µm from the car's own usual`,
    finish: {
      original: "original paint",
      repainted: "painted again",
      filler: "filler",
      thin: "thin",
      "no-reading": "no reading on steel",
    },
    marksLabel: "Marks on this panel",
  },

  decision: {
    title: "At the kerb",
    drive: "Danger and the drive home",
    unseen: "Nobody has looked at",
    moreReasons: (count: number) => plural(count, "more reason", "more reasons"),
    moreItems: (count: number) => plural(count, "more item", "more items"),
    next: "What to look at next",
    minutes: "Minutes left",
    minutesShort: (minutes: string) => `${minutes} min`,
    money: "Money",
    work: "Work found",
    range: (low: string, high: string) => `${low} to ${high}`,
    reserve: "Reserve for the unseen",
    held: (count: number) => `Reserve: ${plural(count, "unseen item", "unseen items")}`,
    due: (count: number) => `Maintenance: ${count} due for want of proof`,
    asking: "Asking price",
    walkAway: "Walk away above",
    unknown: "not said",
    assumed: "Assumed",
    names: { hourly_rate: "hourly rate", margin: "margin", value: "value" } as Record<
      string,
      string
    >,
    arguments: "What speaks for a lower price",
    evidence: "What was found",
    nothingFound: "No fault recorded so far.",
    working: "The judge is at work.",
    toSeller: "Show to the seller, without money",
  },

  seller: {
    back: "Hand the phone back",
    order: (order: string) => `To go on, tap ${order}.`,
  },

  seal: {
    title: "Check and sign",
    intro: "Signing closes this visit. What comes after it shows as an addition.",
    answered: "Answered",
    found: "Faults found",
    open: "No answer",
    uninspected: "Not inspected",
    problems: "To be put right",
    photos: "Photos",
    name: "Your name",
    place: "Place",
    signature: "Signature",
    signatureHint: "Draw with a finger.",
    clear: "Draw again",
    sign: "Sign and finish",
    needName: "Write your name.",
    needPlace: "Write where you sign.",
    needStrokes: "Draw your signature.",
    errors: "Error: not signed yet",
    sealed: (name: string, date: string) => `Signed by ${name} on ${date}.`,
    after: (count: number) => `${plural(count, "entry was", "entries were")} added after signing.`,
    again: "Sign again",
    unlooked: (count: number) =>
      count === 1
        ? "One item has no answer."
        : `${count} items have no answer, not even “Not inspected”.`,
    unlookedMeans:
      "The report will list each of them as not inspected, not reached. Nothing may be concluded from them: the drive home, the costs and the price allow for the worst of what was not seen.",
    goOn: "Go on looking",
    unlookedYes: (count: number) => `Sign with ${count} not looked at`,
    needUnlooked: "Go on looking, or say that you sign with items not looked at.",
    working: "Signing…",
    done: "Signed. It will be sent by itself when the server is in reach.",
  },

  storage: {
    title: "Where everything is",
    unsent: "Not yet on the server",
    entries: (count: number) => plural(count, "entry", "entries"),
    photos: (count: number) => plural(count, "photo", "photos"),
    nothing: "Nothing: the server has everything.",
    oldest: "Oldest of these",
    last: "Last answer of the server",
    never: "never",
    now: "Send now",
    lasting: "Lasting storage",
    lastingYes: "The browser promised to keep everything on this phone.",
    lastingNo:
      "The browser may clear it when the phone runs full or after weeks without use. Send early; on an iPhone, add Bradawl to the home screen.",
    lastingUnknown: "The browser does not say whether it keeps things for good.",
    ask: "Ask the browser to keep it",
    space: "Space left",
    pair: "Pair this phone",
    paired: (name: string) => `Paired as “${name}”.`,
    save: "Save everything unsent to a file",
    saved: "File written. Keep it safe: the desk can read it in.",
    look: "Look",
    theme: "Light",
    themes: { auto: "As the phone", light: "Light", dark: "Dark", outdoor: "Full sun" },
    hand: "Hand",
    hands: { right: "Right", left: "Left" },
    photoPlace: "Place in a photo's file",
    photoPlaces: { drop: "Left out", note: "Noted as the visit's" },
    photoPlaceHint:
      "Photos are kept and sent without it. Noted, it stands among the facts of the car when no place does, and a report says it only if it says the place.",
    version: (version: string) => `Version ${version}`,
    about: "What is new, and licenses (from the server)",
  },

  clock: {
    ahead: (text: string) => `This phone's clock is ${text} ahead of the server's.`,
    behind: (text: string) => `This phone's clock is ${text} behind the server's.`,
    means:
      "Set it right: dates and times in the record come from it. Nothing is lost, and what was recorded keeps its order.",
  },

  authority: {
    next: (day: string) => `The workshop's certificate will be replaced on ${day}.`,
    nextWhy: (name: string) =>
      `This phone trusts the workshop's server by a certificate that lasts a year. Let it trust the next one, “${name}”, before that day; otherwise it can record but no longer send. It takes three minutes, within the workshop's network.`,
    guide: "Show me how",
    guideAt: (page: string) =>
      `The steps are at ${page} (on an iPhone or iPad, open it in Safari).`,
    nextDone: "When that page says that this phone trusts the next certificate as well:",
    trusted: "This phone trusts it",
    due: (day: string) => `The workshop's certificate was due to be replaced on ${day}.`,
    dueWhy: (name: string) =>
      `The server has not answered this phone since. If it does not answer within the workshop's network either, this phone does not trust the new certificate, “${name}”, yet. What you record stays on this phone until it does.`,
    former: "Remove the workshop's old certificate from this phone.",
    formerWhy: (name: string, day: string) =>
      `“${name}” was in use until ${day}. This phone works with the new one. As long as the phone trusts the old one, anyone who copied its key could pose as the workshop's server.`,
    formerApple:
      "iPhone and iPad: Settings › General › VPN & Device Management, tap the profile with that name, Remove Profile.",
    formerAndroid:
      "Android: search the settings for “Trusted credentials”, then User, tap the name, Remove.",
    formerNever: "If the phone does not list that name, it never had it.",
    removed: "It is removed",
    help: "In the workshop, and still no answer? The server's certificate may have been replaced. The page below tells whether this phone trusts the present one.",
  },

  syncIssues: {
    title: "What needs you",
    again: "Try again",
    appOld:
      "The server speaks a newer language than this app. Nothing on this phone is lost: bring the app up to date, and everything is sent.",
    appUpdate: "Get the new version",
    appNone:
      "The server offers no newer version to this phone. Open Bradawl once where the server is in reach; if this stays, update Bradawl on the server.",
    serverOld:
      "This app speaks a newer language than the server. Nothing on this phone is lost: bring the server up to date, and everything is sent. Until then you can save it to a file.",
    entry: (what: string) => `The server does not take the entry “${what}”.`,
    entryKept: "It and all that follows it stay on this phone.",
    entryLeave: "Go on without this entry",
    entrySure: "Yes, leave it out for good",
    server: "The server answered:",
    serverKept: "Nothing on this phone is lost.",
    batch:
      "Entries of another device did not arrive whole, and were not kept. All other entries and the photos were exchanged.",
    phone: "This phone stopped while it was exchanging with the server:",
    restart: "Start Bradawl again",
    photo: (number: number, title: string) => `Photo ${number} of “${title}”`,
    photoOf: "A photo of an item that is not in the checklist any more",
    photoOfVisit: (name: string) => `In “${name}”.`,
    photoTake: "Take it again",
    photoDrop: "Drop this photo",
    photoSure: "Yes, drop it for good",
    keep: "Keep it",
  },

  gone: {
    title: "Storage was cleared",
    what: "The browser has deleted what Bradawl had stored on this phone.",
    nothing: "Everything had reached the server before: nothing is lost.",
    lost: (entries: number, photos: number) =>
      `Not yet on the server: ${[
        entries === 0 ? "" : plural(entries, "entry", "entries"),
        photos === 0 ? "" : plural(photos, "photo", "photos"),
      ]
        .filter((part) => part !== "")
        .join(" and ")}.`,
    here: (count: number) =>
      count === 1
        ? "One of these entries is still in this page's memory."
        : `${count} of these entries are still in this page's memory.`,
    hereNot: "They are lost.",
    photosLost: "Photos that had not been sent are lost.",
    next: "Go on: what the server has comes back by itself, and this phone writes under a new number, which the owner confirms at the desk.",
    again: (count: number) =>
      count === 1 ? "Go on, and record that entry again" : `Go on, and record those ${count} again`,
    without: (count: number) => (count === 1 ? "Go on without it" : "Go on without them"),
    on: "Go on",
    returned: "This phone's storage had been cleared by the browser",
    returnedText:
      "What the server had has come back. What this phone had not yet sent is lost. It now writes under a new number, which the owner confirms at the desk.",
    read: "I have read this",
  },

  old: {
    title: "Stored by Bradawl 0.1",
    text: "What lies on this phone was stored by Bradawl 0.1. This version cannot read it, and nothing of it was changed.",
    clear: "Clear it and begin anew",
    sure: "Everything that Bradawl 0.1 stored on this phone is deleted, photos too. This cannot be undone.",
    yes: "Yes, delete it",
    no: "Keep it",
  },

  pair: {
    title: "Pair this phone",
    intro: "Pairing lets this phone send what it holds. Nothing recorded is lost meanwhile.",
    name: "Name of this phone",
    ask: "Ask to be paired",
    code: "Code",
    wordsLabel: "Words",
    waiting:
      "At the desk, open “Phones and people”, then “Add a phone”. Type this code; both screens must show the same words.",
    approved: "Paired. Everything is being sent.",
    refused: "The desk refused this phone. Ask again when it is expected there.",
    expired: "The time for this code has run out. Ask again.",
    again: "Ask again",
    on: "To the cars",
    test: "Is this phone ready? Test it",
    left: (seconds: number) =>
      `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")} left`,
    unreachable: "The server does not answer. Try again where it can be reached.",
    defaultName: "Phone",
  },

  update: {
    ready: "A new version of Bradawl is ready.",
    take: "Take it now",
  },

  alarm: {
    title: "NOT SAVED",
    write: "The phone could not store the last entry. Nothing before it is lost.",
    quota: "The phone has no room left. The last entry was not stored. Make room, then try again.",
    again: "Try again",
    againOpen: "Try again to open it",
    screen: "This screen could not be shown. Everything recorded is safe.",
    toCars: "To the list of cars",
    outdated: "Bradawl was renewed in another tab. Close this one and go on there.",
    judge: "The judge does not run; answers are stored and will be judged later.",
    restart: "Start the judge again",
  },
};
