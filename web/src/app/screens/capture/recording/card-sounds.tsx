/** On the card of a check: what was recorded for it is heard there, and a voice note is made there. */

import type { Item } from "../../../../shared/contract";
import { Modal } from "../../../components/capture/modal";
import { text } from "../../../text/catalogue";
import { soundsOf } from "../../../visit/capture/captured";
import type { Visit } from "../../../visit/visit";
import { DeleteRecording, SoundEntry } from "./player";
import { Recording } from "./recording";

export function CardSounds({ visit, item }: { visit: Visit; item: Item }) {
  return (
    <ul class="capture-list">
      {soundsOf(visit, item.id).map((one, index) => (
        <li key={one.put} class="capture-entry" data-sound={one.put}>
          <SoundEntry one={one} name={text(`capture-name-${one.kind}`, { number: index + 1 })} />
          <DeleteRecording visit={visit} sha256={one.sha256} />
        </li>
      ))}
    </ul>
  );
}

/** It begins at once, and ends with a tap: then it is with the check. */
export function VoiceOver({
  visit,
  item,
  onClose,
}: {
  visit: Visit;
  item: Item;
  onClose: () => void;
}) {
  const near = Promise.resolve({ item: item.id, area: item.area, stage: item.stage });
  return (
    <Modal label={text("phone-item-voice")} className="modal-foot" onClose={onClose}>
      <Recording visit={visit} kind="voice" near={near} item={item.id} onClose={onClose} />
    </Modal>
  );
}
