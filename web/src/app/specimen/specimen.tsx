/**
 * The phone's specimen: every mark, letter and component beside its like, in each theme. `make dev`
 * serves it at `/app/specimen.html`; it is no part of the app. A new component comes here first.
 */

import { render } from "preact";
import { useState } from "preact/hooks";
import type { Grade } from "../../shared/contract";
import type { MarkId } from "../../shared/marks";
import { NOTHING_KNOWN } from "../../store/exchange/sync";
import "../../style/tokens.css";
import "../../style/base.css";
import "../../style/rows.css";
import { ChoiceButtons } from "../components/controls/choice-buttons";
import { TextField } from "../components/controls/text-field";
import { SyncLineOf } from "../components/frame/sync-line";
import { GradeMark, GradeWord, Mark, MarkWord } from "../components/grades/grade-mark";
import { WORDS } from "../screens/together/together-parts";
import { catalogue, text } from "../text/catalogue";
import { FILES } from "../text/catalogue-files";
import { gradeName } from "../text/names";

import "../components/frame/screen-frame.css";
import "../components/grades/answers.css";
import "../components/item/item-card.css";
import "../components/readings/doubts.css";
import "../components/readings/readings.css";
import "../components/seal/seal-status.css";
import "../screens/decision/decision.css";
import "./specimen.css";

const THEMES = ["light", "dark", "outdoor"] as const;
const GRADES: (Grade | null)[] = [null, "uninspected", "none", "minor", "major", "dangerous"];
/** Marks that show no grade. */
const FURTHER: MarkId[] = ["mended", "look_here"];
const SIZES_PX = [14, 24, 48];
/** Letters that a vehicle number must not mix up, and figures that stand in columns. */
const LETTERS = ["I l 1 · 0 O · 8 B · 5 S · 2 Z", "0123456789", "1111111111"];

function Marks() {
  return (
    <section>
      <h2>{text("specimen-marks")}</h2>
      {SIZES_PX.map((size) => (
        <p key={size} class="specimen-line" style={{ fontSize: `${size / 1.05}px` }}>
          {GRADES.map((grade) => (
            <GradeMark key={grade} grade={grade} />
          ))}
          {FURTHER.map((id) => (
            <Mark key={id} id={id} />
          ))}
        </p>
      ))}
      <ul class="rows">
        {GRADES.map((grade) => (
          <li key={grade} class="row">
            <GradeWord grade={grade} />
          </li>
        ))}
        {FURTHER.map((id) => (
          <li key={id} class="row">
            <MarkWord id={id} />
          </li>
        ))}
        <li class="row">
          <span class="row-title">{text("phone-walk-map")}</span>
          <span class="row-state">
            <GradeWord grade="dangerous" isMended />
          </span>
        </li>
        <li class="row">
          <span class="row-title">{text("phone-facts-vin")}</span>
          <span class="row-state grade state-open">
            <Mark id="open" /> {text("phone-walk-open", { count: 12 })}
          </span>
          <span class="row-detail">
            3 / 15 · <MarkWord id="minor" /> · <MarkWord id="look_here" />
          </span>
        </li>
      </ul>
    </section>
  );
}

function Letters() {
  return (
    <section>
      <h1>{text("phone-walk-title")}</h1>
      <h2>{text("phone-walk-in-order")}</h2>
      <h3>{text("phone-decide-money")}</h3>
      <p>{text("phone-storage-photo-place-hint")}</p>
      <p>
        <em>{text("phone-facts-hint")}</em>
      </p>
      <p class="hint">{text("phone-facts-hint")}</p>
      {LETTERS.map((line) => (
        <p key={line} class="specimen-letters">
          {line}
          <br />
          <span class="specimen-narrow">{line}</span>
        </p>
      ))}
    </section>
  );
}

function Answered() {
  const [chosen, choose] = useState<string | null>("none");
  const grades = GRADES.filter((grade) => grade !== null);
  const options = [...grades.slice(1), "uninspected" as const].map((id) => ({
    id,
    title: gradeName(id),
    mark: <GradeMark grade={id} />,
    className: `choice-${id}`,
  }));
  return (
    <article class="card" data-grade={chosen ?? "open"}>
      <header>
        <h3>{text("phone-facts-vin")}</h3>
        <GradeWord grade={chosen as Grade | null} />
      </header>
      <p class="caution">{text("judge-drive-caution")}</p>
      <ChoiceButtons
        className="answers grades"
        label={text("specimen-answers")}
        options={options}
        chosen={chosen}
        onChoose={choose}
      />
      <p class="wrong">{text("phone-facts-year-bad")}</p>
      <div class="conflict">
        <p>
          <MarkWord id="look_here" /> {text("together-conflict")}
        </p>
        <div class="choices chips">
          <button type="button" class="choice">
            {text("grade-minor")}
          </button>
          <button type="button" class="choice">
            {text("grade-major")}
          </button>
        </div>
      </div>
    </article>
  );
}

function Plates() {
  return (
    <section>
      <p class="verdict spoken verdict-trailer">
        <strong>{text("drive-trailer")}</strong> {text("judge-drive-caution")}
      </p>
      <p class="verdict spoken verdict-limits">
        <strong>{text("drive-limits")}</strong> {text("judge-drive-caution")}
      </p>
      <p class="verdict spoken verdict-not_cleared">
        <strong>{text("drive-not-cleared")}</strong> {text("judge-drive-caution")}
      </p>
      <p class="verdict spoken verdict-drive">
        <strong>{text("drive-drive")}</strong> {text("judge-drive-caution")}
      </p>
      <p class="sealed">{text("phone-cars-signed")}</p>
    </section>
  );
}

function Buttons() {
  const [theme, setTheme] = useState<string>("light");
  document.documentElement.dataset.theme = theme;
  return (
    <section>
      <ChoiceButtons
        label={text("phone-storage-theme")}
        options={THEMES.map((id) => ({ id, title: catalogue.find(`phone-storage-theme-${id}`) }))}
        chosen={theme}
        onChoose={setTheme}
      />
      <button type="button" class="main">
        {text("phone-cars-start")}
      </button>
      <button type="button">{text("phone-photo-file")}</button>
      <button type="button" disabled>
        {text("phone-photo-file")}
      </button>
      <button type="button" class="danger">
        {text("phone-photo-remove")}
      </button>
      <button type="button" class="more">
        {text("phone-item-details")}
      </button>
      <TextField
        id="right"
        label={text("phone-facts-vin")}
        value="ZZZKD33W8PT104417"
        onRecord={() => undefined}
      />
      <TextField
        id="wrong"
        label={text("phone-facts-year")}
        value="93"
        problem={text("phone-facts-year-bad")}
        onRecord={() => undefined}
      />
      {(["phone", "sending", "server"] as const).map((where) => (
        <SyncLineOf key={where} state={{ ...NOTHING_KNOWN, where, sent: 3, total: 12 }} />
      ))}
    </section>
  );
}

function Specimen() {
  return (
    <main>
      <Buttons />
      <Marks />
      <Answered />
      <Plates />
      <Letters />
    </main>
  );
}

catalogue.files = { ...FILES, ...WORDS };
const root = document.getElementById("app");
if (root !== null) void catalogue.load("en-US").then(() => render(<Specimen />, root));
