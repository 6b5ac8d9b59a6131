/** The workshop's certificate is replaced: when, why, and what this phone's owner does about it. */

import { type AuthorityNote, notesOf } from "../../../store/exchange/authority";
import { authority, authorityKept, syncState } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { readableDay } from "../../text/formats";

import "./notices.css";

function Guide({ page, onOpen }: { page: string; onOpen?: () => void }) {
  return (
    <>
      <a class="button" href={page} target="_blank" rel="noreferrer" onClick={onOpen}>
        {text("phone-authority-guide")}
      </a>
      <p class="hint">{text("phone-authority-guide-at", { page })}</p>
    </>
  );
}

function Next({ note, page }: { note: AuthorityNote & { kind: "next" }; page: string }) {
  return (
    <div class="note" role="status" data-authority={note.kind}>
      <p>
        <strong>{text("phone-authority-next", { day: readableDay(note.day) })}</strong>
      </p>
      <p>{text("phone-authority-next-why", { name: note.name })}</p>
      <Guide page={page} onOpen={() => void authority.opened(note.sha256)} />
      {note.opened && (
        <>
          <p>{text("phone-authority-next-done")}</p>
          <button type="button" class="button" onClick={() => void authority.trusted(note.sha256)}>
            {text("phone-authority-trusted")}
          </button>
        </>
      )}
    </div>
  );
}

function Due({ note, page }: { note: AuthorityNote; page: string }) {
  return (
    <div class="note" role="status" data-authority={note.kind}>
      <p>
        <strong>{text("phone-authority-due", { day: readableDay(note.day) })}</strong>
      </p>
      <p>{text("phone-authority-due-why", { name: note.name })}</p>
      <Guide page={page} />
    </div>
  );
}

function Former({ note }: { note: AuthorityNote }) {
  return (
    <div class="note" role="status" data-authority={note.kind}>
      <p>
        <strong>{text("phone-authority-former")}</strong>
      </p>
      <p>{text("phone-authority-former-why", { name: note.name, day: readableDay(note.day) })}</p>
      <p>{text("phone-authority-former-apple")}</p>
      <p>{text("phone-authority-former-android")}</p>
      <p class="hint">{text("phone-authority-former-never")}</p>
      <button type="button" class="button" onClick={() => void authority.removed(note.sha256)}>
        {text("phone-authority-removed")}
      </button>
    </div>
  );
}

export function AuthorityNotices() {
  const kept = authorityKept.value;
  const page = kept.answer?.first_page ?? "";
  return (
    <>
      {notesOf(kept, Date.now(), syncState.value.answered).map((note) => {
        if (note.kind === "next") return <Next key={note.sha256} note={note} page={page} />;
        if (note.kind === "due") return <Due key={note.sha256} note={note} page={page} />;
        return <Former key={note.sha256} note={note} />;
      })}
    </>
  );
}

/** While nobody answers: an authority that was replaced at once announces itself to no phone. */
export function AuthorityHelp() {
  const { answer } = authorityKept.value;
  if (answer === null) return null;
  const isUnreachable = syncState.value.issues.some(({ kind }) => kind === "unreachable");
  const isDue = notesOf(authorityKept.value, Date.now(), syncState.value.answered).some(
    ({ kind }) => kind === "due",
  );
  if (!isUnreachable || isDue) return null;
  return (
    <>
      <p>{text("phone-authority-help")}</p>
      <Guide page={answer.first_page} />
    </>
  );
}
