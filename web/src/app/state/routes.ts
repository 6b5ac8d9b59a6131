/** The screens' addresses: the part after #, which survives a reload and a killed page. */

/** What a list of checks is narrowed to, and what is searched in it; each page behind it leads back. */
export interface Found {
  shows: string;
  words: string;
}

export type Route =
  | { screen: "cars" }
  | { screen: "storage" }
  | { screen: "pair" }
  | { screen: "away" }
  | { screen: "guide" }
  | { screen: "handover" }
  | { screen: "shared" }
  | { screen: "compare" }
  | {
      screen:
        | "walk"
        | "facts"
        | "kerb"
        | "seal"
        | "sort"
        | "manage"
        | "start"
        | "two"
        | "tell"
        | "ad"
        | "purpose"
        | "drive";
      visit: string;
    }
  // what is done before one goes: the list of it, or one part
  | { screen: "going"; visit: string; part: string | null }
  | { screen: "map"; visit: string; place: string | null }
  | { screen: "trouble"; visit: string; complaint: string | null }
  // `part`: one of what is done before one leaves; null: all of it
  | { screen: "leaving"; visit: string; part: string | null }
  // `item`: a finding in somebody's own words, or the area that a new one is in; null: a new one
  | { screen: "own"; visit: string; item: string | null }
  | ({ screen: "find"; visit: string; at: string | null } & Found)
  | { screen: "area"; visit: string; area: string; item: string | null; found?: Found }
  | { screen: "stage"; visit: string; stage: string; item: string | null; found?: Found };

const OF_VISIT = [
  "facts",
  "kerb",
  "seal",
  "sort",
  "manage",
  "start",
  "two",
  "tell",
  "ad",
  "purpose",
  "drive",
] as const;
const OF_PHONE = ["storage", "pair", "away", "guide", "handover", "shared", "compare"] as const;

/** What stands for nothing between two others. */
const NONE = "-";

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    // cut short by whoever passed it on
    return "";
  }
}

function foundIn([shows = NONE, words = NONE]: string[]): Found {
  return { shows: shows === NONE ? "" : shows, words: words === NONE ? "" : decoded(words) };
}

function foundPart({ shows, words }: Found): string {
  return `${shows || NONE}/${words === "" ? NONE : encodeURIComponent(words)}`;
}

export function parseRoute(hash: string): Route {
  const [first, visit, second, third, fourth, ...rest] = hash.replace(/^#\/?/, "").split("/");
  const ofPhone = OF_PHONE.find((name) => name === first);
  if (ofPhone !== undefined) return { screen: ofPhone };
  if (first === "visit" && visit !== undefined && /^[0-9a-f]{32}$/.test(visit)) {
    const found = rest[0] === "find" ? { found: foundIn(rest.slice(1)) } : {};
    if (second === "area" && third !== undefined) {
      return { screen: "area", visit, area: third, item: fourth ?? null, ...found };
    }
    if (second === "stage" && third !== undefined) {
      return { screen: "stage", visit, stage: third, item: fourth ?? null, ...found };
    }
    if (second === "find") {
      const parts = [third, fourth].filter((part) => part !== undefined);
      return { screen: "find", visit, ...foundIn(parts), at: rest[0] ?? null };
    }
    if (second === "trouble") return { screen: "trouble", visit, complaint: third ?? null };
    if (second === "going") return { screen: "going", visit, part: third ?? null };
    if (second === "leaving") return { screen: "leaving", visit, part: third ?? null };
    if (second === "own") return { screen: "own", visit, item: third ?? null };
    if (second === "map") return { screen: "map", visit, place: third ?? null };
    const screen = OF_VISIT.find((name) => name === second);
    return { screen: screen ?? "walk", visit };
  }
  return { screen: "cars" };
}

export function address(route: Route): string {
  if (route.screen === "cars") return "#/";
  if (!("visit" in route)) return `#/${route.screen}`;
  if (route.screen === "area" || route.screen === "stage") {
    const page = route.screen === "area" ? route.area : route.stage;
    const item = route.item === null ? "" : `/${route.item}`;
    const found = route.found && item !== "" ? `/find/${foundPart(route.found)}` : "";
    return `#/visit/${route.visit}/${route.screen}/${page}${item}${found}`;
  }
  if (route.screen === "find") {
    const at = route.at === null ? "" : `/${route.at}`;
    return `#/visit/${route.visit}/find/${foundPart(route)}${at}`;
  }
  if (route.screen === "map") {
    const place = route.place === null ? "" : `/${route.place}`;
    return `#/visit/${route.visit}/map${place}`;
  }
  if (route.screen === "going") {
    return `#/visit/${route.visit}/going${route.part === null ? "" : `/${route.part}`}`;
  }
  if (route.screen === "own") {
    return `#/visit/${route.visit}/own${route.item === null ? "" : `/${route.item}`}`;
  }
  if (route.screen === "leaving") {
    return `#/visit/${route.visit}/leaving${route.part === null ? "" : `/${route.part}`}`;
  }
  if (route.screen === "trouble") {
    const complaint = route.complaint === null ? "" : `/${route.complaint}`;
    return `#/visit/${route.visit}/trouble${complaint}`;
  }
  return route.screen === "walk"
    ? `#/visit/${route.visit}`
    : `#/visit/${route.visit}/${route.screen}`;
}
