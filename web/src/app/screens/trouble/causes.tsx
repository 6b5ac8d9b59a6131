/** The causes in words; each opens to its repair, to "this is it", and to ruling it out. */

import { useState } from "preact/hooks";
import type { ComplaintCause, Grade } from "../../../shared/contract";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { GradeMark } from "../../components/grades/grade-mark";
import { address } from "../../state/routes";
import { catalogue, text } from "../../text/catalogue";
import { about } from "../../text/estimates";
import { gradeName } from "../../text/names";
import { argument } from "../../text/say";
import type { Visit } from "../../visit/visit";
import type { Shown } from "./complaint";
import { found } from "./use-complaint";

/** What stands open of the list; the rest fits so badly that a tap may wait. */
const OPEN = ["likely", "possible"];
const AT_LEAST = 3;

function repairText(visit: Visit, { repair }: ComplaintCause): { repair: string; cost: string } {
  if (repair === null) return { repair: "", cost: "" };
  const cost = about(repair.cost[1] ?? 0, repair.currency);
  return { repair: String(argument(repair.title, visit.bundle.rules)), cost };
}

export function nameOf(visit: Visit, cause: ComplaintCause): string {
  return String(argument(cause.title, visit.bundle.rules));
}

/** What was found, and what it does to the bill. */
export function Found({ visit, written, seen }: Shown) {
  return seen.causes
    .filter(({ standing }) => standing === "found")
    .map((cause) => {
      const repair = repairText(visit, cause);
      return (
        <section key={cause.id} data-found={cause.id} aria-label={text("trouble-is-found")}>
          <p class="trouble-plate">{text("trouble-it-is-done", { cause: nameOf(visit, cause) })}</p>
          {cause.grades.length > 0 && (
            <p>
              {repair.repair === "" ? text("trouble-in-plan") : text("trouble-in-bill", repair)}
            </p>
          )}
          <button
            type="button"
            class="more"
            onClick={async () => {
              const puts = await found(visit, written, cause.id, "");
              await visit.put(puts, text("trouble-not-it"));
            }}
          >
            {text("trouble-not-it")}
          </button>
        </section>
      );
    });
}

/** Which grade it is worth, asked in place. */
function ThisIsIt({ visit, written, cause }: Shown & { cause: ComplaintCause }) {
  const [isAsking, setAsking] = useState(false);
  const record = async (grade: string) => {
    const puts = await found(visit, written, cause.id, grade);
    await visit.put(puts, text("trouble-it-is-done", { cause: nameOf(visit, cause) }));
  };
  if (cause.grades.length === 0) return null;
  if (!isAsking) {
    return (
      <button type="button" class="button" onClick={() => setAsking(true)}>
        {text("trouble-it-is")}
      </button>
    );
  }
  return (
    <>
      <p class="chips-title">{text("trouble-it-is-which")}</p>
      <ChoiceButtons
        label={text("trouble-it-is-which")}
        options={cause.grades.map((grade) => ({
          id: grade,
          title: gradeName(grade as Grade),
          mark: <GradeMark grade={grade as Grade} />,
        }))}
        chosen={null}
        onChoose={(grade) => void record(grade)}
      />
    </>
  );
}

/** A cause is ruled out with a reason, which everybody reads. */
function RuleOut({ visit, shown, cause }: Shown & { cause: ComplaintCause }) {
  const [why, setWhy] = useState<string | null>(null);
  if (why === null) {
    return (
      <button type="button" class="link" onClick={() => setWhy("")}>
        {text("trouble-rule-out")}
      </button>
    );
  }
  const label = text("trouble-rule-out-why", { cause: nameOf(visit, cause) });
  return (
    <form
      class="trouble-why"
      onSubmit={(event) => {
        event.preventDefault();
        if (why.trim() === "") return;
        const put = `trouble/${shown.id}/causes/${cause.id}`;
        const value = { state: "ruled_out", why: why.trim() };
        void visit.put([{ put, value }], `${text("trouble-out")}: ${nameOf(visit, cause)}.`);
      }}
    >
      <label>
        {label}
        <input
          type="text"
          value={why}
          maxLength={300}
          onInput={({ currentTarget }) => setWhy(currentTarget.value)}
        />
      </label>
      <button type="submit" disabled={why.trim() === ""}>
        {text("trouble-rule-out-save")}
      </button>
    </form>
  );
}

function Row(props: Shown & { cause: ComplaintCause }) {
  const { visit, shown, cause } = props;
  const repair = repairText(visit, cause);
  return (
    <li data-cause={cause.id} data-standing={cause.standing}>
      <details class="trouble-cause">
        <summary>
          <span>{nameOf(visit, cause)}</span>
          <strong>{catalogue.find(`trouble-is-${cause.standing}`)}</strong>
        </summary>
        <div class="trouble-inside">
          {repair.repair !== "" && <p>{text("trouble-repair", repair)}</p>}
          {cause.harmless && <p>{text("trouble-harmless")}</p>}
          {cause.then !== "" && (
            <a
              class="button"
              href={address({ screen: "trouble", visit: visit.id, complaint: cause.then })}
            >
              {text("trouble-goes-on", { symptom: titleOfTable(props, cause.then) })}
            </a>
          )}
          <ThisIsIt {...props} />
          <RuleOut {...props} shown={shown} />
        </div>
      </details>
    </li>
  );
}

function titleOfTable({ titles }: Shown, id: string): string {
  return titles.get(id) ?? id;
}

export function Causes(props: Shown) {
  const left = props.seen.causes.filter(
    ({ standing }) => standing !== "ruled_out" && standing !== "found",
  );
  const open = left.filter(({ standing }, n) => OPEN.includes(standing) || n < AT_LEAST);
  const rest = left.slice(open.length);
  return (
    <section aria-label={text("trouble-causes")}>
      <ul class="rows trouble-causes">
        {open.map((cause) => (
          <Row key={cause.id} {...props} cause={cause} />
        ))}
      </ul>
      {rest.length > 0 && (
        <details>
          <summary>{text("trouble-causes-more", { count: rest.length })}</summary>
          <ul class="rows trouble-causes">
            {rest.map((cause) => (
              <Row key={cause.id} {...props} cause={cause} />
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}
