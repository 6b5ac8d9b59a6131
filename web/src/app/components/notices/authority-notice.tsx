/** The workshop's certificate is replaced: when, why, and what this phone's owner does about it. */

import { type AuthorityNote, notesOf } from "../../../store/exchange/authority";
import { readableDay } from "../../device/local-time";
import { authority, authorityKept, syncState } from "../../state/this-page";
import { words } from "../../text/en";

import "./notices.css";

const texts = words.authority;

function Guide({ page, onOpen }: { page: string; onOpen?: () => void }) {
  return (
    <>
      <a class="button" href={page} target="_blank" rel="noreferrer" onClick={onOpen}>
        {texts.guide}
      </a>
      <p class="hint">{texts.guideAt(page)}</p>
    </>
  );
}

function Next({ note, page }: { note: AuthorityNote & { kind: "next" }; page: string }) {
  return (
    <div class="note" role="status" data-authority={note.kind}>
      <p>
        <strong>{texts.next(readableDay(note.day))}</strong>
      </p>
      <p>{texts.nextWhy(note.name)}</p>
      <Guide page={page} onOpen={() => void authority.opened(note.sha256)} />
      {note.opened && (
        <>
          <p>{texts.nextDone}</p>
          <button type="button" class="button" onClick={() => void authority.trusted(note.sha256)}>
            {texts.trusted}
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
        <strong>{texts.due(readableDay(note.day))}</strong>
      </p>
      <p>{texts.dueWhy(note.name)}</p>
      <Guide page={page} />
    </div>
  );
}

function Former({ note }: { note: AuthorityNote }) {
  return (
    <div class="note" role="status" data-authority={note.kind}>
      <p>
        <strong>{texts.former}</strong>
      </p>
      <p>{texts.formerWhy(note.name, readableDay(note.day))}</p>
      <p>{texts.formerApple}</p>
      <p>{texts.formerAndroid}</p>
      <p class="hint">{texts.formerNever}</p>
      <button type="button" class="button" onClick={() => void authority.removed(note.sha256)}>
        {texts.removed}
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
      <p>{texts.help}</p>
      <Guide page={answer.first_page} />
    </>
  );
}
