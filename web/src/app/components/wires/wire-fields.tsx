/** What may be said of one wire or bunch, each with a tap; recorded at once, taken back as a whole. */

import type { Item, Reading } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import { catalogue, text } from "../../text/catalogue";
import { firstUnit } from "../../text/measures";
import { unitName, withUnit } from "../../text/names";
import { region } from "../../text/region";
import { typedValue } from "../../visit/items/item-readings";
import {
  gaugeText,
  gaugeUnit,
  type Wire,
  wirePut,
  wireWord,
  withoutWire,
} from "../../visit/items/item-wires";
import type { Visit } from "../../visit/visit";
import { ChoiceButtons } from "../controls/choice-buttons";
import { TextField } from "../controls/text-field";

const STATES = ["insulated", "nibbled", "bare", "cut"];
const FUSES = ["none", "fuse", "link"];
const NEAR = ["metal", "fuel", "heat", "moving", "nothing"];
const COUNTS = ["2", "3", "5", "8", "12", "20", "40"];
const AWG = ["22", "20", "18", "16", "14", "12", "10", "8", "6", "4", "2", "1", "1/0", "2/0"];
const MM2 = ["0.35", "0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50"];
const RATINGS = ["5", "7.5", "10", "15", "20", "25", "30", "40"];

interface FieldsProps {
  visit: Visit;
  item: Item;
  wire: Wire;
  /** As the wire is called. */
  name: string;
  onClose: () => void;
}

interface FieldProps extends Omit<FieldsProps, "onClose"> {
  field: string;
  label: string;
}

function recordOf({ visit, item, wire, name, field }: FieldProps) {
  return (value: Json, answer: string) =>
    void visit.put(
      [{ put: wirePut(item, wire.id, field), value }],
      text("phone-item-recorded", { title: name, answer: answer || text("phone-item-nothing") }),
    );
}

/** One of several words; a tap on the chosen one takes it back. */
function Chips(props: FieldProps & { ids: string[] }) {
  const { field, label, ids, wire } = props;
  const record = recordOf(props);
  const chosen = wire.fields[field] ?? null;
  return (
    <div>
      <p class="chips-title">{label}</p>
      <ChoiceButtons
        className="chips"
        label={label}
        options={ids.map((id) => ({ id, title: wireWord(field, id) }))}
        chosen={typeof chosen === "string" ? chosen : null}
        onChoose={(id) => (id === chosen ? record(null, "") : record(id, wireWord(field, id)))}
      />
    </div>
  );
}

/** Words to tap, and a field for another one. */
function ChipsOrText(props: FieldProps & { ids: string[]; other: string }) {
  const { field, ids, wire, other } = props;
  const record = recordOf(props);
  const stored = wire.fields[field];
  const typed = typeof stored === "string" && !ids.includes(stored) ? stored : "";
  return (
    <>
      <Chips {...props} />
      <TextField
        id={`wire-${wire.id}-${field}`}
        label={other}
        value={typed}
        onRecord={(text) => {
          const trimmed = text.trim();
          if (trimmed !== "" || typed !== "") record(trimmed === "" ? null : trimmed, trimmed);
        }}
      />
    </>
  );
}

/** Figures to tap in one unit, each as it is typed. */
function Figures(
  props: FieldProps & {
    texts: string[];
    unit: string;
    shown: (id: string) => string;
    said?: (id: string) => string;
  },
) {
  const { field, label, texts, unit, shown, said = shown, wire } = props;
  const record = recordOf(props);
  const stored = wire.fields[field] as { typed?: string; unit?: string } | undefined;
  const chosen = stored?.unit === unit ? (stored.typed ?? null) : null;
  return (
    <div>
      <p class="chips-title">{label}</p>
      <ChoiceButtons
        className="chips figures"
        label={label}
        options={texts.map((id) => ({ id, title: shown(id) }))}
        chosen={chosen}
        onChoose={(id) =>
          id === chosen ? record(null, "") : record({ typed: id, unit }, said(id))
        }
      />
    </div>
  );
}

function readingOf(visit: Visit, field: string): Reading | undefined {
  return visit.bundle.rules.wires?.readings.find(({ id }) => id === field);
}

/** A figure to type, in the unit of the person's trade. */
function Typed(props: FieldProps) {
  const { visit, field, label, wire } = props;
  const record = recordOf(props);
  const reading = readingOf(visit, field);
  if (reading === undefined) return null;
  const stored = wire.fields[field] as { typed?: string; unit?: string } | undefined;
  const unit = stored?.unit ?? firstUnit(reading.units);
  return (
    <TextField
      id={`wire-${wire.id}-${field}`}
      label={unit === "1" ? label : text("judge-at", { name: label, place: unitName(unit) })}
      value={stored?.typed ?? ""}
      inputMode="decimal"
      onRecord={(typed) => {
        const value = typedValue(reading, typed, unit);
        record(value, value === null ? "" : withUnit(value.typed, unit));
      }}
    />
  );
}

/** What the judge calls a field of a wire: "Load". */
function factName(field: string): string {
  return catalogue.find(`judge-fact-wire-${field}`);
}

function Sizes(props: FieldProps) {
  const { gauge, [props.field]: own = gauge } = props.wire.fields;
  const stored = own as { unit?: string } | undefined;
  const unit = stored?.unit ?? (region.value === "us" ? "AWG" : "mm2");
  const label = text("judge-at", { name: props.label, place: gaugeUnit(unit) });
  return (
    <Figures
      {...props}
      label={label}
      texts={unit === "mm2" ? MM2 : AWG}
      unit={unit}
      shown={(typed) => typed}
      said={(typed) => gaugeText({ typed, unit })}
    />
  );
}

export function WireFields({ onClose, ...props }: FieldsProps) {
  const { visit, item, wire, name } = props;
  const { wires: table } = visit.bundle.rules;
  const isBunch = wire.fields.kind === "bunch";
  // nobody measures or pulls on an airbag's wire
  const airbag = wire.fields.circuit === "airbag" ? visit.bundle.cautions.airbag : undefined;
  const circuits = (table?.circuits ?? []).map(({ id }) => id);
  const amperes = (typed: string) => withUnit(typed, "A");
  const takeBack = () => {
    onClose();
    const answer = text("phone-item-nothing");
    void visit.put(withoutWire(item, wire), text("phone-item-recorded", { title: name, answer }));
  };
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a grid everywhere
    <div class="wire-fields" role="group" aria-label={name}>
      {airbag !== undefined && (
        <p class="caution">
          <strong>{text("phone-item-caution", { title: airbag.title })}.</strong> {airbag.text}
        </p>
      )}
      {isBunch ? (
        <>
          <ChipsOrText
            {...props}
            field="where"
            label={text("judge-wire-field-where")}
            ids={table?.spots ?? []}
            other={text("phone-wires-elsewhere")}
          />
          <Figures
            {...props}
            field="count"
            label={text("judge-wire-field-count")}
            texts={COUNTS}
            unit="1"
            shown={(typed) => typed}
          />
          <Typed {...props} field="count" label={factName("count")} />
          <Sizes {...props} field="gauge" label={text("phone-wires-thinnest")} />
          <Sizes {...props} field="thickest" label={text("judge-wire-field-thickest")} />
          <Chips {...props} field="state" label={text("phone-wires-worst")} ids={STATES.slice(1)} />
        </>
      ) : (
        <>
          <ChipsOrText
            {...props}
            field="circuit"
            label={text("judge-wire-field-circuit")}
            ids={circuits}
            other={text("phone-wires-other")}
          />
          <Sizes {...props} field="gauge" label={factName("gauge")} />
          <Chips {...props} field="fuse" label={text("judge-wire-field-fuse")} ids={FUSES} />
          {wire.fields.fuse !== undefined && wire.fields.fuse !== "none" && (
            <Figures
              {...props}
              field="rating"
              label={factName("rating")}
              texts={RATINGS}
              unit="A"
              shown={amperes}
            />
          )}
          <Typed {...props} field="length" label={text("judge-wire-field-length")} />
          <Typed {...props} field="load" label={factName("load")} />
          <Chips {...props} field="state" label={text("judge-wire-field-state")} ids={STATES} />
        </>
      )}
      <Chips {...props} field="near" label={text("judge-wire-field-near")} ids={NEAR} />
      <TextField
        id={`wire-${wire.id}-note`}
        label={text("phone-item-note")}
        value={typeof wire.fields.note === "string" ? wire.fields.note : ""}
        onRecord={(typed) =>
          recordOf({ ...props, field: "note", label: "" })(typed.trim() || null, typed.trim())
        }
      />
      <div class="wire-ends">
        <button type="button" onClick={onClose}>
          {text("phone-wires-done")}
        </button>
        <button type="button" onClick={takeBack}>
          {text("phone-wires-take-back")}
        </button>
      </div>
    </div>
  );
}
