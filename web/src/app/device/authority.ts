/** What the server tells of its certificate authority, for whoever shows it. */

import { signal } from "@preact/signals";
import { type AuthorityKept, AuthorityWatch, NOTHING_HEARD } from "../../store/exchange/authority";
import { trustNow } from "../../store/exchange/server-api";
import { facts } from "../state/storage";

export const authorityKept = signal<AuthorityKept>(NOTHING_HEARD);

export const authority = new AuthorityWatch(facts, trustNow, (kept) => {
  authorityKept.value = kept;
});
