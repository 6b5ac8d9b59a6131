/** Beginning a visit, and opening one as it lies on this phone. */

import { inspection, type Put } from "../../shared/event";
import { message, Told } from "../../shared/said";
import { newId } from "../../store/encoding";
import { JudgeProblem, offlineNames } from "../device/judge";
import { moment } from "../device/local-time";
import { CURRENCY_OF, region } from "../text/region";
import { Visit, type VisitServices } from "./visit";

/** Needed with the first tap, not for the first picture. */
const WARM_UP_MS = 150;

/** Open a visit: no network, no folding unless others wrote to it. */
export async function loadVisit(services: VisitServices, id: string): Promise<Visit> {
  const { store, log, judges, bundles } = services;
  const own = log.identity.get();
  const reading = log.rows.cellsOf(id);
  const assessed = store.run((database) => database.get("assessments", id));
  // the last assessment names the checklist: it is read beside the record, not after it
  assessed.then((row) => row && bundles.fetch(row.bundle)).catch(() => undefined);
  // what others wrote is folded before anything is shown of it
  const folded = await bundles.foldFromOthers(id).catch((problem) => {
    if (!(problem instanceof JudgeProblem)) throw problem;
    return 1;
  });
  const cells = folded > 0 ? await log.rows.cellsOf(id) : await reading;
  const hash = cells["about/bundle"]?.value;
  if (typeof hash !== "string") {
    throw new Told(message("phone-error-checklist-coming"));
  }
  const bundle = await bundles.fetch(hash);
  const row = await assessed;
  const stored = row?.bundle === hash ? row : null;
  const { device } = await own;
  const visit = Visit.of(services, id, bundle, cells, stored?.assessment ?? null, device);
  visit.assessUnless(stored);
  setTimeout(() => {
    void log.ready().catch(() => undefined);
    void judges.forTaps.withRules(bundle).catch(() => undefined);
  }, WARM_UP_MS);
  return visit;
}

/** Begin a visit now, with today's checklist. Returns its id once it is on the disk. */
export async function beginVisit(services: VisitServices): Promise<string> {
  const { inspector, currency } = services.state.preferences.value;
  const names = await offlineNames();
  const hash = /([0-9a-f]{64})\.json$/.exec(names.checklists)?.[1];
  if (hash === undefined) throw new Told(message("phone-cars-no-checklists"));
  await services.bundles.fetch(hash);
  const visit = newId();
  const scope = inspection(visit);
  const puts: Put[] = [
    { scope, put: "about/bundle", value: hash },
    { scope, put: "about/started", value: moment() },
    { scope, put: "about/app", value: names.app },
    { scope, put: "about/region", value: region.value },
    { scope, put: "about/currency", value: currency || CURRENCY_OF[region.value] },
    { scope, put: "car/id", value: newId() },
  ];
  if (inspector !== "") puts.push({ scope, put: "about/inspector", value: inspector });
  await services.log.append(puts);
  services.onRecorded(puts.length);
  return visit;
}
