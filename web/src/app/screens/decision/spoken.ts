/** What is read aloud, and by which voice. */

import type { Assessment, Question } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import { bare } from "../../text/tongues";
import { reasonsThatCount } from "../../visit/reasons-that-count";
import type { Visit } from "../../visit/visit";

const QUESTIONS: Question[] = ["buy", "drive", "price", "now"];
const REASONS = 5;

/** A voice that lies on the phone and speaks the app's language; null for none. */
export function voiceOf(
  voices: SpeechSynthesisVoice[],
  locale: string,
): SpeechSynthesisVoice | null {
  const [language = ""] = locale.split("-");
  const local = voices.filter(
    ({ localService, lang }) => localService && lang.replace("_", "-").split("-")[0] === language,
  );
  return local.find(({ lang }) => lang.replace("_", "-") === locale) ?? local[0] ?? null;
}

/** What is read, sentence by sentence, in the order in which it stands on the screen. */
export function spoken(visit: Visit, assessment: Assessment): string[] {
  const { rules } = visit.bundle;
  const { answers } = assessment.decision;
  const four = QUESTIONS.flatMap((question) => {
    // as it stands: work with proof may have changed what was found
    const now = question === "drive" ? assessment.now?.drive_home.said : undefined;
    const said = now ?? answers[question]?.[0]?.said;
    return said === undefined ? [] : [text(`phone-decide-ask-${question}`), say(said, rules)];
  });
  const reasons = reasonsThatCount(assessment).slice(0, REASONS);
  const why = reasons.length === 0 ? [] : [text("phone-decide-reasons")];
  return [...four, ...why, ...reasons.map(({ said }) => say(said, rules))].map(bare);
}
