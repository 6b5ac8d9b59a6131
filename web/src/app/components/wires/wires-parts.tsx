/** The wires of an item: written down with a few taps, what was worked out beside each. */

import { useState } from "preact/hooks";
import type { Item, ItemJudgment } from "../../../shared/contract";
import { catalogue, text } from "../../text/catalogue";
import {
  gaugeText,
  newWireId,
  type Wire,
  wireFact,
  wirePut,
  wiresOf,
  wireWord,
} from "../../visit/items/item-wires";
import type { Visit } from "../../visit/visit";
import { ChoiceButtons } from "../controls/choice-buttons";
import { WireFields } from "./wire-fields";
import { WireSources } from "./wire-sources";

import "./wires.css";

const BUNCH = ["nibbled", "bare", "cut"];
const ONE = ["insulated", ...BUNCH];
/** What is worked out, in the order in which somebody asks. */
const FIGURES = ["bears", "alone", "fuse", "fuse_most", "drop", "drop_hot", "short", "heat"];

interface WiresProps {
  visit: Visit;
  item: Item;
  judged: ItemJudgment | undefined;
}

/** Fuel pump, 14 AWG; 12 wires, firewall: as the judge calls it. */
export function wireName({ fields }: Wire): string {
  const { kind, count, where, circuit, gauge, thickest } = fields;
  const typed = (count as { typed?: string } | undefined)?.typed ?? "";
  const number = Number(typed.replace(/[^\d]/g, "")) || 1;
  const head =
    kind === "bunch"
      ? text("judge-wire-bunch", { count: number })
      : wireWord("circuit", circuit ?? null) || text("judge-wire-one");
  const place = kind === "bunch" ? wireWord("where", where ?? null) : "";
  const sizes = [gaugeText(gauge ?? null), gaugeText(thickest ?? null)].filter(Boolean);
  const [thin = "", thick = thin] = sizes;
  const size = thin === thick ? thin : text("judge-wire-sizes", { thin, thick });
  return [head, place, size].filter((part) => part !== "").join(", ");
}

/** What the judge made of one wire: its risk first, then the figures. */
function WireFacts({ wire, judged }: { wire: Wire; judged: ItemJudgment | undefined }) {
  if (judged === undefined) return null;
  const figures = FIGURES.map((name) => ({ name, value: wireFact(judged, name, wire.id) }));
  return (
    <span class="wire-facts">
      {figures
        .filter(({ value }) => value !== "")
        .map(({ name, value }) => (
          <span key={name}>
            {text("judge-fact", {
              name: catalogue.find(`judge-fact-wire-${name.replaceAll("_", "-")}`),
              value,
            })}
          </span>
        ))}
    </span>
  );
}

function WireRow({
  visit,
  item,
  judged,
  wire,
  isOpen,
  onOpen,
}: WiresProps & {
  wire: Wire;
  isOpen: boolean;
  onOpen: (isOpen: boolean) => void;
}) {
  const name = wireName(wire);
  const risk =
    (judged && wireFact(judged, "risk", wire.id)) || wireWord("state", wire.fields.state ?? null);
  return (
    <li data-wire={wire.id}>
      <button type="button" class="wire" aria-expanded={isOpen} onClick={() => onOpen(!isOpen)}>
        <strong>{name}</strong>
        {risk !== "" && <span>{risk}</span>}
        <WireFacts wire={wire} judged={judged} />
      </button>
      {isOpen && (
        <WireFields
          visit={visit}
          item={item}
          wire={wire}
          name={name}
          onClose={() => onOpen(false)}
        />
      )}
    </li>
  );
}

export function Wires({ visit, item, judged }: WiresProps) {
  const [open, setOpen] = useState<string | null>(null);
  const wires = wiresOf(visit, item.id);
  const begin = (kind: "bunch" | "one") => (state: string) => {
    const id = newWireId();
    const changes = [{ put: wirePut(item, id, "state"), value: state }];
    if (kind === "bunch") changes.push({ put: wirePut(item, id, "kind"), value: kind });
    setOpen(id);
    const answer = wireWord("state", state);
    void visit.put(changes, text("phone-item-recorded", { title: text("phone-wires"), answer }));
  };
  const add = (kind: "bunch" | "one", label: string) => (
    <div class="wires-add">
      <p class="chips-title">{label}</p>
      <ChoiceButtons
        className="chips"
        label={label}
        options={(kind === "bunch" ? BUNCH : ONE).map((id) => ({
          id,
          title: wireWord("state", id),
        }))}
        chosen={null}
        onChoose={begin(kind)}
      />
    </div>
  );
  return (
    <section class="wires" aria-label={text("phone-wires-of", { title: item.title })}>
      <details open={wires.length > 0 || judged?.grade !== "none"}>
        <summary>{text("phone-wires")}</summary>
        <ul>
          {wires.map((wire) => (
            <WireRow
              key={wire.id}
              {...{ visit, item, judged, wire }}
              isOpen={open === wire.id}
              onOpen={(isOpen) => setOpen(isOpen ? wire.id : null)}
            />
          ))}
        </ul>
        <Tip visit={visit} item={item} />
        {add("bunch", text("phone-wires-bunch"))}
        {add("one", text("phone-wires-one"))}
        {wires.length > 0 && <WireSources visit={visit} />}
      </details>
    </section>
  );
}

/** From how many wires on the harness is cheaper, where the work is counted by wires. */
function Tip({ visit, item }: { visit: Visit; item: Item }) {
  const line = visit.assessment.value?.money.lines.find(
    ({ item: of, tips_at }) => of === item.id && tips_at !== undefined,
  );
  if (line?.tips_at === undefined) return null;
  return <p class="wires-tip">{text("judge-wire-tips", { count: line.tips_at })}</p>;
}
