/**
 * What Americans type, and the check they mean: trade words, slips, and the words of others who write
 * English. Common practice, no source. Against the real checks and the real list of find.ftl.
 */

import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, test } from "vitest";
import { Catalogue, type Patterns } from "../../../src/app/text/catalogue";
import { readingsOf, type Synonym, synonymsIn } from "../../../src/app/text/synonyms";
import { WordIndex } from "../../../src/app/text/word-index";
import { findables } from "../../../src/app/visit/find/finding";
import { Visit } from "../../../src/app/visit/visit";
import type { Assessment, Bundle } from "../../../src/shared/contract";
import { newPage, visitId } from "../pages";

const root = fileURLToPath(new URL("../../../..", import.meta.url));
const PRINT = `
import json
from pathlib import Path
from bradawl.checklists import bundling, loader
print(json.dumps(bundling.bundle(loader.load(Path("checklists")))))
`;
const FIND = import.meta.glob<Patterns>("../../../../server/bradawl/language/locales/*/find.ftl", {
  import: "default",
});

/** What is typed, then the checks of which one stands first. */
const TYPED: Record<string, string> = {
  "gas tank": "fuel.tank",
  "gas ta": "fuel.tank",
  "gas line": "fuel.lines",
  "gas leak": "fluids.fuel-leak",
  "gas cap": "fuel.cap",
  "petrol smell": "interior.fumes",
  carb: "fuel.carburettor",
  carberator: "fuel.carburettor",
  rotor: "brakes.front-discs",
  roter: "brakes.front-discs",
  "front disc": "brakes.front-discs",
  "rear disc": "brakes.rear-discs",
  disk: "brakes.front-discs",
  "break pads": "brakes.front-pads",
  shoes: "brakes.rear-drums brakes.front-drums",
  "e-brake": "brakes.parking",
  ebrake: "brakes.parking",
  "parking break": "brakes.parking",
  "hand br": "brakes.parking",
  "emergency brake": "brakes.parking",
  "brake booster": "brakes.servo",
  "flex hose": "brakes.hoses",
  "soft pedal": "brakes.pedal-firm",
  shimmy: "road.brake-judder",
  hood: "body.bonnet-catch",
  bonnet: "body.bonnet-catch",
  "boot floor": "accident.boot-seams rust.boot-floor",
  windscreen: "glass.windscreen",
  "quarter panel": "rust.wings-bonnet",
  "wheel arch": "rust.arches",
  sill: "rust.sills",
  rocker: "rust.sills",
  "floor pan": "rust.floor",
  "frame rail": "rust.rails",
  "chassis rail": "rust.rails",
  "frame rot": "rust.rails rust.frame",
  "cab corner": "rust.bed",
  firewall: "rust.bay",
  "strut tower": "rust.bay",
  "pinch weld": "rust.jacking-points",
  bondo: "accident.magnet",
  "mil gauge": "accident.paint-film",
  "air bag": "interior.airbags-fitted",
  "srs light": "interior.airbag-lamp",
  "flood car": "accident.water",
  salvage: "papers.title-brands",
  "pink slip": "papers.registration",
  "vin swap": "papers.number-tampering",
  "door sticker": "papers.certification-label",
  smog: "papers.emissions-label exhaust.emission-parts",
  rollback: "papers.odometer",
  tranny: "transmission.case",
  trany: "transmission.case",
  "tranny fluid": "fluids.automatic",
  "trans leak": "fluids.gearbox-leak",
  "motor mount": "bushings.engine-mounts",
  "rod knock": "engine.noise",
  "grinds gears": "road.gears",
  slips: "road.clutch",
  "u-joint": "transmission.propeller-shaft",
  ujoint: "transmission.propeller-shaft",
  "prop shaft": "transmission.propeller-shaft",
  "cv boot": "transmission.shaft-boots",
  "clicking in turns": "transmission.joints",
  "rear end": "transmission.differential rodents.rear-wiring",
  "4x4": "transmission.all-wheel",
  "throwout bearing": "transmission.clutch-hydraulics",
  mice: "rodents.cabin",
  rodent: "rodents.cabin",
  "mouse nest": "rodents.traces",
  "chewed wires": "rodents.rear-wiring rodents.engine-wiring",
  cel: "engine.warning-lamp",
  "check engine": "engine.warning-lamp",
  obd2: "engine.readiness",
  "idiot light": "interior.gauges",
  guage: "interior.gauges",
  blowby: "engine.breather",
  headgasket: "engine.block-head",
  milkshake: "fluids.oil-filler",
  "oil change": "upkeep.engine-oil",
  "rear main": "fluids.oil-leak",
  serpentine: "engine.belts",
  antifreeze: "fluids.coolant",
  overheating: "road.temperature",
  radiater: "cooling.radiator",
  "rad cap": "cooling.cap",
  thermostat: "cooling.fan",
  dizzy: "ignition.cap-rotor",
  "plug wire": "ignition.leads",
  "no start": "engine.start",
  "vapor lock": "engine.hot-restart",
  battery: "electrical.battery",
  parasitic: "electrical.drain",
  alternater: "electrical.charging",
  solenoid: "electrical.starter",
  earth: "electrical.ground-drop",
  "fuse box": "electrical.fuses",
  "wiring loom": "electrical.looms",
  "hacked wiring": "electrical.added-wiring",
  headlamp: "lamps.headlamps",
  blinkers: "lamps.indicators",
  "third brake light": "lamps.stop",
  "tail light": "lamps.position",
  "reverse light": "lamps.reversing",
  "tag light": "lamps.plate",
  hitch: "body.tow-bar",
  squirter: "fluids.washer",
  defogger: "glass.demist",
  freon: "interior.aircon",
  "heater core": "interior.heater",
  heater: "interior.heater",
  seatbelt: "interior.belts-front",
  "water leak": "glass.leaks",
  ragtop: "body.soft-top",
  speedo: "road.speedometer",
  silencer: "exhaust.pipes",
  cat: "exhaust.catalyst",
  "catalitic converter": "exhaust.catalyst",
  "exaust leak": "exhaust.blow",
  "carbon monoxide": "interior.fumes",
  tyre: "tyres.age",
  "bald tires": "tyres.tread",
  "date code": "tyres.age",
  "dry rot": "tyres.damage",
  "wheel stud": "tyres.nuts",
  psi: "tyres.pressure",
  donut: "tyres.spare",
  hub: "suspension.wheel-bearings",
  balljoint: "suspension.ball-joints",
  wishbone: "suspension.arms",
  "end link": "bushings.stabiliser",
  strut: "suspension.dampers",
  "leaf spring": "bushings.leaf-springs",
  "air ride": "suspension.air",
  "drag link": "steering.track-rod-ends",
  pitman: "steering.idler",
  "steering slop": "steering.free-play",
  "rag joint": "steering.column",
  "rack and pinion": "steering.gear",
  "ps leak": "fluids.power-steering-leak",
  alignment: "steering.toe",
  "dog tracks": "road.tracking",
  "lug wrench": "equipment.jack",
  "number plate": "papers.plates",
  "state inspection": "papers.last-inspection",
};

let synonyms: Synonym[] = [];
let checks = new Set<string>();
let index = new WordIndex([]);

function found(typed: string): string[] {
  const ids = index.find(typed, (words, isSlip) => readingsOf(words, synonyms, isSlip));
  return ids.filter((id) => checks.has(id));
}

beforeAll(async () => {
  const printed = execFileSync(join(root, ".venv/bin/python"), ["-c", PRINT], {
    cwd: root,
    maxBuffer: 1e8,
  });
  const bundle = JSON.parse(String(printed)) as Bundle;
  checks = new Set(bundle.items.map(({ id }) => id));
  const nothing = { items: {}, areas: [] } as unknown as Assessment;
  const visit = Visit.of(newPage(), visitId, bundle, {}, nothing);
  index = new WordIndex(findables(visit).entries);
  const words = new Catalogue(FIND);
  await words.load();
  synonyms = synonymsIn(words.lines("find-synonyms"));
});

describe("what people type", () => {
  test.each(Object.entries(TYPED))("%s", (typed, wanted) => {
    expect(wanted.split(" "), found(typed).slice(0, 5).join(" ")).toContain(found(typed)[0]);
  });

  test("and in a language without such a list, the words of the checks are searched as they stand", () => {
    expect(readingsOf(["gas", "tank"], synonymsIn(""))).toEqual([["gas", "tank"]]);
    expect(index.find("fuel tank")).toContain("fuel.tank");
  });

  test("a word that is the beginning of another is not taken for it", () => {
    // "floor" begins "floorboard", "heater" is one letter from "header"
    const lines = "floorboard = pans\nheader = manifold\ngas tank = fuel tank";
    const known = synonymsIn(lines);
    expect(readingsOf(["floor"], known)).toEqual([["floor"]]);
    expect(readingsOf(["heater"], known)).toEqual([["heater"]]);
    expect(readingsOf(["gas", "ta"], known)).toContainEqual(["fuel", "tank"]);
  });

  test("finds something by every line of the list", () => {
    expect(synonyms.length).toBeGreaterThan(250);
    const lost = synonyms.filter(({ meant }) => index.find(meant.join(" ")).length === 0);
    expect(lost.map(({ typed, meant }) => `${typed.join(" ")} = ${meant.join(" ")}`)).toEqual([]);
  });
});
