/** The judge as the page sees it: what may be asked of it, and how it fails. */

import type { Signal } from "@preact/signals";
import type { Bundle, Rules } from "../../shared/contract";
import type { Ask } from "../../shared/judge-messages";
import { message, type Said, Told } from "../../shared/said";
import type { OfflineNames } from "../../store/exchange/server-api";

/** The judge answered with an error or not at all. */
export class JudgeProblem extends Told {
  override name = "JudgeProblem";
}

/** A checklist as its reader reads it; `judged` are the rules as they were written, where its texts
 * are in another language. */
export type ReadBundle = Bundle & { judged?: Rules; symptomTexts?: Texts };

/** Texts of the complaint tables in another language, nested as they stand there. */
type Texts = string | { [place: string]: Texts };

/** One judge: what asks it need not know where it runs. */
export interface Judge {
  ask: Ask;
  start(): Promise<void>;
  /** Have the rules of this bundle loaded before asking about a visit that uses it. */
  withRules(bundle: ReadBundle): Promise<void>;
  /** Have what leads from symptom to cause loaded before asking about a complaint. */
  withTrouble(): Promise<void>;
  /** The hash of the judge that answers. */
  hash(): Promise<string>;
}

/** The two judges of a page. */
export interface Judges {
  /** What keeps the judge from running; null while it runs. */
  readonly problem: Signal<Said | null>;
  /** For what a tap needs: one item, a fold, a seal. */
  readonly forTaps: Judge;
  /** For the whole visit. */
  readonly forVisit: Judge;
  /** What an exchange with the server asks: it must keep no tap waiting. */
  ask: Ask;
}

export async function offlineNames(): Promise<OfflineNames> {
  const answer = await fetch("/api/v1/offline");
  if (!answer.ok) throw new JudgeProblem(message("phone-error-no-judge"));
  return (await answer.json()) as OfflineNames;
}
