/** What the shop built into its page (server/bradawl/serving/check_page.py writes it). */

export type Standing = "own" | "met" | "replaced" | "lost";

/** A signer whom the shop knows: SHA-256 of the certificate in lower-case hex. */
export interface KnownSigner {
  fingerprint: string;
  name: string;
  standing: Standing;
  /** The day from which on a replaced or lost key signs nothing any more; "" for a key in use. */
  until: string;
}

export interface Letterhead {
  name: string;
  address: string;
  phone: string;
  web: string;
}

export interface Shop {
  letterhead: Letterhead;
  signers: KnownSigner[];
  /** The day on which the page was made. */
  made: string;
  locale: string;
  /** The hash of the judge that lies in the page. */
  judge: string;
  /** Letters that look like others, by what they look like. */
  confusables: Record<string, string>;
}
