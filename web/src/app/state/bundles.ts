/** Checklists by their hash, and folding: what a visit needs before it can be shown. */

import { CONTENT } from "../../shared/cache-names";
import type { Bundle, Item, Rules, Symptom } from "../../shared/contract";
import type { Ask } from "../../shared/judge-messages";
import { message, Told } from "../../shared/said";
import type { Log } from "../../store/log/log";
import { offlineNames, type ReadBundle } from "../device/judge";
import { DEFAULT_LOCALE, PSEUDO_LOCALE } from "../text/catalogue";
import { inEnglish } from "../text/tongues";

/** Texts in another language, nested as they stand in a bundle. */
type Changes = string | { [place: string]: Changes };

/** The value with these texts in place of its own; what has none is shared. */
function changed<T>(value: T, changes: Changes): T {
  if (typeof changes === "string") return changes as T;
  const copy = (Array.isArray(value) ? [...value] : { ...value }) as Record<string, unknown>;
  for (const [place, change] of Object.entries(changes)) copy[place] = changed(copy[place], change);
  return copy as T;
}

/** What of a checklist is read, and under which names its texts stand. */
const PARTS = ["areas", "stages", "items", "cautions", "profile", "driving", "rules"] as const;
const TEXTS = new Set(["title", "look", "how", "where", "text", "reason", "question"]);

/** The value as it is read, of which the texts that stayed English say so. */
function saying(plain: unknown, read: unknown): unknown {
  if (Array.isArray(read)) return read.map((part, n) => saying((plain as unknown[])?.[n], part));
  if (typeof read !== "object" || read === null) return read;
  const pairs = Object.entries(read).map(([name, value]) => {
    const written = (plain as Record<string, unknown> | undefined)?.[name];
    if (typeof value !== "string") return [name, saying(written, value)];
    return [name, TEXTS.has(name) && value === written ? inEnglish(value) : value];
  });
  return Object.fromEntries(pairs);
}

/** The rules, whose items say each reason that a tap records by its English text. */
function namingChips(english: Item[], read: Bundle): Rules {
  const items = { ...read.rules.items };
  english.forEach(({ id, whys }, n) => {
    const rule = items[id];
    if (rule === undefined || whys.length === 0) return;
    const said = whys.map((why, place) => {
      const other = read.items[n]?.whys[place] ?? why;
      return [why, other === why ? inEnglish(why) : other];
    });
    items[id] = { ...rule, whys: Object.fromEntries(said) };
  });
  return { ...read.rules, items };
}

/** The parts of a checklist as they are read, whose English texts are known as such. */
function knowing(plain: Bundle, read: Bundle): Partial<Bundle> {
  const pairs = PARTS.map((name) => [name, saying(plain[name], read[name])]);
  return Object.fromEntries(pairs) as Partial<Bundle>;
}

/** From where the service worker keeps it, without waking that up; else as it is to be had. */
async function find(name: string): Promise<Response> {
  const path = `/api/v1/checklists/${name}.json`;
  const cached = await globalThis.caches
    ?.open(CONTENT)
    .then((cache) => cache.match(path))
    .catch(() => undefined);
  return cached ?? fetch(path);
}

/** On the phone's very first start no service worker answers yet, and nobody would keep it. */
async function keep(name: string): Promise<void> {
  const path = `/api/v1/checklists/${name}.json`;
  const cache = await globalThis.caches?.open(CONTENT);
  if (cache !== undefined && (await cache.match(path)) === undefined) await cache.add(path);
}

/** The complaint tables as they are read, and as they were written, which is how they are judged. */
export interface Complaints {
  read: Symptom[];
  written: Symptom[];
}

async function complaintsOf(hash: string): Promise<Symptom[]> {
  const answer = await find(`${hash}/trouble`);
  if (!answer.ok) throw new Told(message("phone-error-no-checklist"));
  return ((await answer.json()) as { symptoms: Symptom[] }).symptoms;
}

export class Bundles {
  private readonly loading = new Map<string, Promise<ReadBundle>>();
  private readonly complaining = new Map<string, Promise<Complaints>>();
  private reading: Promise<string> | undefined;

  /** `ask` folds; it must keep no tap waiting. `locale` is what this page is read in. */
  constructor(
    private readonly log: Log,
    private readonly ask: Ask,
    private readonly locale: () => Promise<string>,
  ) {}

  fetch(hash: string): Promise<ReadBundle> {
    let bundle = this.loading.get(hash);
    if (bundle === undefined) {
      bundle = find(hash).then(async (answer) => {
        if (!answer.ok) throw new Told(message("phone-error-no-checklist"));
        return this.translated((await answer.json()) as Bundle);
      });
      this.loading.set(hash, bundle);
      bundle.catch(() => this.loading.delete(hash));
    }
    return bundle;
  }

  /** From symptom to cause: the tables of a checklist; today's for one of before they were kept. */
  complaints(bundle: ReadBundle): Promise<Complaints> {
    let complaints = this.complaining.get(bundle.hash);
    if (complaints === undefined) {
      complaints = this.fetchComplaints(bundle);
      this.complaining.set(bundle.hash, complaints);
      complaints.catch(() => this.complaining.delete(bundle.hash));
    }
    return complaints;
  }

  private async fetchComplaints({ hash, symptomTexts }: ReadBundle): Promise<Complaints> {
    const written = await complaintsOf(hash);
    if (written.length > 0) {
      return { written, read: changed(written, symptomTexts ?? {}) };
    }
    const { checklists, complaints = checklists } = await offlineNames();
    const today = await complaintsOf(/[0-9a-f]{64}/.exec(complaints)?.[0] ?? hash);
    return { written: today, read: today };
  }

  /** In this page's language; in English, until asked again, where that is not to be had now. */
  private async translated(bundle: Bundle): Promise<ReadBundle> {
    this.reading ??= this.locale();
    const locale = await this.reading;
    if (locale === DEFAULT_LOCALE) return bundle;
    try {
      const answer = await find(`${bundle.hash}/${locale}`);
      if (answer.ok) {
        const { symptoms, ...changes } = (await answer.json()) as { [place: string]: Changes };
        const read = changed(bundle, changes);
        const known = locale === PSEUDO_LOCALE ? read : { ...read, ...knowing(bundle, read) };
        const rules = namingChips(bundle.items, known);
        const symptomTexts = symptoms ?? {};
        return { ...known, rules, judged: bundle.rules, symptomTexts };
      }
    } catch {
      // no signal
    }
    this.loading.delete(bundle.hash);
    return bundle;
  }

  /** Fold what other devices wrote to a visit; how many groups, 0 where they wrote nothing. */
  foldFromOthers(visit: string): Promise<number> {
    return this.log.rows.foldDirty(visit, this.ask);
  }

  /** Make sure that the checklists of these visits are on this phone, for when there is no signal. */
  async takeAlong(visits: string[]): Promise<void> {
    for (const visit of visits) {
      // which checklist it began with is itself among what others wrote
      await this.foldFromOthers(visit);
      const cells = await this.log.rows.cellsOf(visit);
      const hash = cells["about/bundle"]?.value;
      if (typeof hash !== "string") continue;
      await this.complaints(await this.fetch(hash));
      for (const name of [hash, `${hash}/trouble`]) await keep(name);
    }
  }
}
