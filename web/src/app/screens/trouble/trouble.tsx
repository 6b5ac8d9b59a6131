/** The part of the app that is loaded when somebody looks for a cause. */

import { ScreenFrame } from "../../components/frame/screen-frame";
import { judges } from "../../state/this-page";
import type { Files, Patterns } from "../../text/catalogue";
import { say, text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import { ComplaintScreen } from "./complaint";
import { ComplaintList } from "./list";
import { useTables } from "./use-complaint";

import "./trouble.css";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../server/bradawl/language/locales/*/trouble.ftl",
  { import: "default" },
);

/** The list of complaints, or one of them; what keeps both away where the tables are not to be had. */
export function TroubleScreen({ visit, complaint }: { visit: Visit; complaint: string | null }) {
  const { tables, problem, again } = useTables(visit);
  const shown = tables?.read.find(({ id }) => id === complaint);
  const written = tables?.written.find(({ id }) => id === complaint);
  if (tables !== null && complaint === null) return <ComplaintList visit={visit} tables={tables} />;
  if (shown !== undefined && written !== undefined) {
    const titles = new Map(tables?.read.map(({ id, title }) => [id, title]));
    return <ComplaintScreen visit={visit} shown={shown} written={written} titles={titles} />;
  }
  const said = problem ?? judges.problem.value;
  return (
    <ScreenFrame title={text("trouble-title")} back={{ screen: "walk", visit: visit.id }}>
      {said === null && tables === null ? (
        <p role="status">{text("phone-walk-opening")}</p>
      ) : (
        <>
          <p class="wrong" role="alert">
            {said === null ? text("trouble-gone") : say(said)}
          </p>
          <button type="button" onClick={again}>
            {text("phone-alarm-again")}
          </button>
        </>
      )}
    </ScreenFrame>
  );
}
